import { makeOnsetFinder } from '../../src/listen/onset.ts';
import { makeSpeech, type Noise, type SpokenCall, type Voice } from '../browser/speech-sound.ts';

/**
 * How well onsets are found: absolute error against the true onset of synthesised speech, calls missed and calls
 * invented, per kind of noise. `npm run bench` prints the table.
 */
export interface OnsetRow {
  readonly noise: string;
  readonly calls: number;
  readonly medianMs: number;
  readonly p95Ms: number;
  readonly missed: number;
  readonly invented: number;
}

const kinds: readonly { name: string; noise: Noise; snrDb: number }[] = [
  { name: 'clean', noise: 'none', snrDb: 99 },
  { name: 'pink, 20 dB below the speech', noise: 'pink', snrDb: 20 },
  { name: 'pink, 10 dB below', noise: 'pink', snrDb: 10 },
  { name: 'pink, 5 dB below', noise: 'pink', snrDb: 5 },
  { name: 'swirl, 12 dB below', noise: 'swirl', snrDb: 12 },
  { name: 'swirl, 3 dB below', noise: 'swirl', snrDb: 3 },
];

const voices: readonly Voice[] = ['slt', 'rms', 'awb', 'kal'];
const texts = [
  'twenty five', 'twenty seven', 'thirty', 'six', 'fifteen', 'fifty', 'forty three', 'eight', 'one', 'seventeen',
  'nine', 'zero', 'twelve point five', 'mark', 'correction thirty five', 'disregard', 'hundred and four', 'start run one',
];

/** @param draws noises per voice */
export async function onsetTable(draws = 2): Promise<OnsetRow[]> {
  const rows: OnsetRow[] = [];
  for (const kind of kinds) {
    const errors: number[] = [];
    let missed = 0;
    let invented = 0;
    let calls = 0;
    for (const voice of voices)
      for (let draw = 0; draw < draws; draw++) {
        const said: SpokenCall[] = texts.map((text, index) => ({ text, atS: 1.5 + index * 3.2 + ((index * 7 + draw) % 5) * 0.13 }));
        const sound = await makeSpeech(said, { voice, noise: kind.noise, snrDb: kind.snrDb, seed: 100 + draw, sampleRate: 16_000 });
        const found = utterancesIn(sound.samples, sound.sampleRate);
        const matched = new Set<number>();
        for (const call of sound.calls) {
          calls++;
          const index = found.findIndex(({ onsetS, endS }, at) => !matched.has(at) && onsetS < call.endS && endS > call.onsetS);
          if (index < 0) missed++;
          else {
            matched.add(index);
            if (process.env.VERBOSE && true) console.log(kind.name, voice, call.text, ((found[index]!.onsetS - call.onsetS)*1000).toFixed(0), found[index]!.speech.toFixed(2), found[index]!.db.toFixed(0));
            errors.push(Math.abs((found[index]?.onsetS ?? 0) - call.onsetS) * 1000);
          }
        }
        invented += found.length - matched.size;
      }
    errors.sort((a, b) => a - b);
    rows.push({
      noise: kind.name,
      calls,
      medianMs: quantile(errors, 0.5),
      p95Ms: quantile(errors, 0.95),
      missed,
      invented,
    });
  }
  return rows;
}

export function utterancesIn(samples: Float32Array, sampleRate: number) {
  const finder = makeOnsetFinder(sampleRate);
  const events = [];
  for (let at = 0; at < samples.length; at += 128) events.push(...finder.push(samples.subarray(at, at + 128)));
  events.push(...finder.finish());
  return events.flatMap((event) =>
    event.kind === 'utterance'
      ? [{ onsetS: event.utterance.onsetFrame / sampleRate, endS: event.utterance.endFrame / sampleRate, speech: event.utterance.speech, db: event.utterance.overNoiseDb }]
      : [],
  );
}

function quantile(sorted: readonly number[], part: number): number {
  if (sorted.length === 0) return Number.NaN;
  return sorted[Math.min(sorted.length - 1, Math.ceil(part * sorted.length) - 1)] ?? Number.NaN;
}

if (process.argv[1]?.endsWith('onset.ts')) {
  console.log('Onset of an utterance: absolute error, ms');
  for (const row of await onsetTable())
    console.log(
      `${row.noise.padEnd(30)} median ${row.medianMs.toFixed(0).padStart(4)}  p95 ${row.p95Ms.toFixed(0).padStart(4)}  missed ${row.missed} and invented ${row.invented} of ${row.calls}`,
    );
}
