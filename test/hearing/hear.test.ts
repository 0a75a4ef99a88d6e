import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test, vi } from 'vitest';
import { type HeardUtterance, utterancesIn } from '../../src/commands/hear.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import { callsEvery, makeChance, makeSpeech, pinkNoise, speak, type Voice } from '../browser/speech-sound.ts';

vi.setConfig({ testTimeout: 60_000 });

const folder = mkdtempSync(join(tmpdir(), 'meniscall-hear-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const root = fileURLToPath(new URL('../..', import.meta.url));
function hear(...files: string[]): { lines: string[]; errors: string[]; status: number | null } {
  const run = spawnSync(
    process.execPath,
    [join(root, 'node_modules/tsx/dist/cli.mjs'), join(root, 'src/commands/hear.ts'), ...files],
    {
      encoding: 'utf8',
    },
  );
  const lines = (text: string): string[] => text.split('\n').filter((line) => line !== '');
  return { lines: lines(run.stdout), errors: lines(run.stderr), status: run.status };
}

test('prints a line of JSON for each file, with the onset and the end of each call in seconds', async () => {
  const sound = await makeSpeech(callsEvery(2, ['twenty five', 'twenty seven']), { sampleRate: 16_000 });
  const file = join(folder, 'two.wav');
  writeFileSync(file, writeWav(sound.samples, sound.sampleRate));
  const silence = join(folder, 'none.wav');
  writeFileSync(silence, writeWav(new Float32Array(16_000), 16_000));
  const { lines, errors, status } = hear(file, silence);
  expect(errors).toEqual([]);
  expect(status).toBe(0);
  expect(lines).toHaveLength(2);
  const { utterances, ...rest } = JSON.parse(lines[0] ?? '');
  expect(rest).toEqual({ file });
  expect(utterances).toHaveLength(2);
  for (const [index, { onset_s, end_s }] of utterances.entries()) {
    expect(Math.abs(onset_s - (sound.calls[index]?.onsetS ?? 0))).toBeLessThan(0.04);
    expect(end_s).toBeGreaterThan(onset_s);
  }
  expect(JSON.parse(lines[1] ?? '')).toEqual({ file: silence, utterances: [] });
});

test('says beside the times what the embedded ear takes each call for', async () => {
  const sound = await makeSpeech(callsEvery(2, ['twenty five', 'disregard', 'correction thirty two']), {
    sampleRate: 16_000,
  });
  const file = join(folder, 'words.wav');
  writeFileSync(file, writeWav(sound.samples, sound.sampleRate));
  const { utterances } = JSON.parse(hear(file).lines[0] ?? '');
  const first = utterances.map(({ best }: HeardUtterance) => best[0]);
  expect(first).toMatchObject([
    { text: 'twenty five', value: 25, kind: 'number' },
    { text: 'disregard', value: null, kind: 'word' },
    { text: 'correction thirty two', value: 32, kind: 'word' },
  ]);
  for (const { best } of utterances as HeardUtterance[]) {
    expect(best[0]?.p).toBeGreaterThan(0.5);
    expect(best.map(({ p }) => p)).toEqual(best.map(({ p }) => p).sort((a, b) => b - a));
    expect(best.reduce((sum, { p }) => sum + p, 0)).toBeLessThan(1.001);
  }
});

test.for([
  ['slt', 'seven', 7],
  ['rms', 'forty two millilitres', 42],
  ['kal', 'one five', 15],
  ['slt', 'thirty point five', 30.5],
  ['rms', 'nineteen', 19],
  ['awb', 'one hundred and eight', 108],
] as const)(
  'hears %s say "%s" in a file trimmed tight to the word, and in one with long silence',
  async ([voice, text, value]) => {
    const { samples, sampleRate } = await speak(text, voice as Voice);
    for (const padS of [0, 0.05, 2.5]) {
      const pad = Math.round(padS * sampleRate);
      const padded = new Float32Array(samples.length + 2 * pad);
      padded.set(samples, pad);
      const heard = utterancesIn(padded, sampleRate);
      expect(heard).toHaveLength(1);
      expect(heard[0]?.best[0]).toMatchObject({ value, kind: 'number' });
      expect(Math.abs((heard[0]?.onset_s ?? 9) - padS)).toBeLessThan(0.06);
    }
  },
);

test('says every way of saying one reading once, with its probabilities added', async () => {
  const { samples, sampleRate } = await speak('two five', 'slt');
  const [heard] = utterancesIn(samples, sampleRate);
  const values = heard?.best.filter(({ kind }) => kind === 'number').map(({ value }) => value) ?? [];
  expect(values[0]).toBe(25);
  expect(new Set(values).size).toBe(values.length);
});

test('noise that is no speech is no utterance, or nothing likely', () => {
  const noise = pinkNoise(32_000, makeChance(5)).map((value) => value * 0.1);
  for (const { best } of utterancesIn(noise, 16_000)) expect(best[0]?.p ?? 0).toBeLessThan(0.1);
});

test('a file that cannot be read gives one line of error and status 1; the others are done', async () => {
  const wrong = join(folder, 'wrong.wav');
  writeFileSync(wrong, 'no sound');
  const right = join(folder, 'right.wav');
  writeFileSync(right, writeWav(new Float32Array(16_000), 16_000));
  const { lines, errors, status } = hear(join(folder, 'absent.wav'), wrong, right);
  expect(status).toBe(1);
  expect(errors).toEqual([
    `${join(folder, 'absent.wav')}: There is no such file.`,
    `${wrong}: This is not a WAV sound file.`,
  ]);
  expect(lines).toHaveLength(1);
  expect(hear().status).toBe(1);
});
