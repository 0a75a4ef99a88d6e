import { pathToFileURL } from 'node:url';
import { utterancesIn } from '../../src/commands/hear.ts';
import { makeSpeech, type Noise, type SpokenCall, type Voice } from '../browser/speech-sound.ts';

/**
 * How well onsets are found: absolute error against the true onset of synthesised speech (four voices of one
 * synthesiser, 18 calls each, two draws of noise), calls missed, calls invented. No human speech and no real
 * microphone is in these figures.
 */
export interface OnsetRow {
  readonly noise: string;
  readonly calls: number;
  readonly medianMs: number;
  readonly p95Ms: number;
  readonly missed: number;
  readonly invented: number;
}

const kinds: readonly { readonly name: string; readonly noise: Noise; readonly snrDb: number }[] = [
  { name: 'clean', noise: 'none', snrDb: 99 },
  { name: 'pink noise 20 dB below', noise: 'pink', snrDb: 20 },
  { name: 'pink noise 10 dB below', noise: 'pink', snrDb: 10 },
  { name: 'pink noise 5 dB below', noise: 'pink', snrDb: 5 },
  { name: 'swirling 12 dB below', noise: 'swirl', snrDb: 12 },
  { name: 'swirling 3 dB below', noise: 'swirl', snrDb: 3 },
];

const voices: readonly Voice[] = ['slt', 'rms', 'awb', 'kal'];

const texts: readonly string[] = [
  'twenty five',
  'twenty seven',
  'thirty',
  'six',
  'fifteen',
  'fifty',
  'forty three',
  'eight',
  'one',
  'seventeen',
  'nine',
  'zero',
  'twelve point five',
  'mark',
  'correction thirty five',
  'disregard',
  'hundred and four',
  'start run one',
];

/** @param draws draws of noise per voice. Takes some 3 s a draw. */
export async function onsetTable(draws: number): Promise<OnsetRow[]> {
  const rows: OnsetRow[] = [];
  for (const { name, noise, snrDb } of kinds) {
    const errors: number[] = [];
    let missed = 0;
    let invented = 0;
    let calls = 0;
    for (const voice of voices)
      for (let draw = 0; draw < draws; draw++) {
        const said: SpokenCall[] = texts.map((text, index) => ({
          text,
          // At no fixed beat, so that the swelling of the noise meets the calls anywhere.
          atS: 1.5 + index * 3.2 + ((index * 7 + draw) % 5) * 0.13,
        }));
        const sound = await makeSpeech(said, { voice, noise, snrDb, seed: 100 + draw, sampleRate: 16_000 });
        const found = utterancesIn(sound.samples, sound.sampleRate);
        const matched = new Set<number>();
        for (const call of sound.calls) {
          calls++;
          const index = found.findIndex(
            (one, at) => !matched.has(at) && one.onset_s < call.endS && one.end_s > call.onsetS,
          );
          const one = found[index];
          if (!one) missed++;
          else {
            matched.add(index);
            errors.push(Math.abs(one.onset_s - call.onsetS) * 1000);
          }
        }
        invented += found.length - matched.size;
      }
    errors.sort((a, b) => a - b);
    rows.push({ noise: name, calls, medianMs: quantile(errors, 0.5), p95Ms: quantile(errors, 0.95), missed, invented });
  }
  return rows;
}

function quantile(sorted: readonly number[], part: number): number {
  return sorted[Math.min(sorted.length - 1, Math.ceil(part * sorted.length) - 1)] ?? Number.NaN;
}

async function print(): Promise<void> {
  console.log('Onset of a call, absolute error (synthesised speech)\n');
  console.log('noise                      median     p95   missed  invented  of');
  for (const row of await onsetTable(process.argv.includes('--quick') ? 1 : 2))
    console.log(
      `${row.noise.padEnd(24)} ${row.medianMs.toFixed(0).padStart(5)} ms ${row.p95Ms.toFixed(0).padStart(5)} ms ${String(row.missed).padStart(7)} ${String(row.invented).padStart(9)}  ${row.calls}`,
    );
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await print();
