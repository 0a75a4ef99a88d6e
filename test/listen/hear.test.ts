import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test, vi } from 'vitest';
import { writeWav } from '../../src/listen/wav.ts';
import { callsEvery, makeSpeech } from '../browser/speech-sound.ts';

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
