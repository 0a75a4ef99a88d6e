import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { features, RATE, resample } from '../../src/hearing/ear/features.ts';
import { shippedNet } from '../../src/hearing/ear/hear-samples.ts';
import { FRAME_MS, posteriors } from '../../src/hearing/ear/net.ts';
import { spikesIn } from '../../src/hearing/ear/spotted-words.ts';
import { loudestChannel, readWav } from '../../src/hearing/wav.ts';
import { makeChance, trimmed } from '../browser/speech-sound.ts';
import { cardinal } from './ear-sound.ts';

/**
 * How long after its first sound the ear answers for a word, as `hearing/ear/into-word.ts` has it: with voices of
 * engines that the ear learnt from, so that those which judge it have no part in it. Where espeak-ng and pico2wave are
 * installed (Debian); else it says so.
 */
const voices: readonly (readonly [program: string, voice: string])[] = [
  ...'en en-US en-GB-x-rp en-US+f3 en+f2 en-US+m3 en-GB-scotland+m7 en-US+klatt4'
    .split(' ')
    .map((voice) => ['espeak-ng', `gmw/${voice}`] as const),
  ['pico2wave', 'en-US'],
  ['pico2wave', 'en-GB'],
];

const commands = `mark|end run|next run|disregard|scratch that|say again|repeat|last one|stand by|go ahead|swirling|
swirl stopped|leak|spill|next step|previous step|read step|what now|ready|done|rinsed|affirm|affirmative|negative|yes|no|
correction thirty two|make that thirty one|i said forty|that was fifty|at forty one|baseline sixteen|
temperature twenty one|start run two|oh point five|point five|half|double two|nought point two|a hundred|hundred`
  .split('|')
  .map((text) => text.trim());
const texts = [...Array.from({ length: 111 }, (_, n) => cardinal(n)), ...commands];

/** Where the ear puts the first word of the sound, ms after its beginning; null where it hears another. */
function answeredMs(sound: Float32Array, word: string, leadS: number): number | null {
  const net = shippedNet();
  const lead = Math.round(leadS * RATE);
  const chance = makeChance(7);
  const track = Float32Array.from({ length: lead + sound.length + RATE / 2 }, () => 5e-4 * (chance() - 0.5));
  const gain = 0.05 / Math.sqrt(sound.reduce((sum, v) => sum + v * v, 0) / sound.length);
  for (const [i, v] of sound.entries()) track[lead + i] = (track[lead + i] ?? 0) + gain * v;
  const spike = spikesIn(posteriors(net, features(track)), 0).find(({ label }) => net.labels[label] === word);
  return spike ? spike.middle * FRAME_MS - 1000 * leadS : null;
}

const folder = mkdtempSync(join(tmpdir(), 'meniscall-into-word-'));
const byWord = new Map<string, number[]>();
try {
  for (const [program, voice] of voices)
    for (const text of texts) {
      const file = join(folder, 'said.wav');
      const [language, output] = program === 'pico2wave' ? ['-l', '-w'] : ['-v', '-w'];
      if (spawnSync(program, [language, voice, output, file, text]).status !== 0) {
        console.log(`${program} is not installed, or has no voice ${voice}: left out`);
        break;
      }
      const wav = readWav(readFileSync(file));
      const sound = trimmed(resample(loudestChannel(wav), wav.sampleRate, RATE), RATE);
      const word = text.split(' ')[0] ?? '';
      for (const leadS of [0.6, 0.613, 0.627]) {
        const ms = answeredMs(sound, word, leadS);
        if (ms !== null) byWord.set(word, [...(byWord.get(word) ?? []), ms]);
      }
    }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
for (const [word, all] of [...byWord].sort()) {
  const sorted = all.sort((a, b) => a - b);
  const mean = sorted.reduce((sum, ms) => sum + ms, 0) / sorted.length;
  const spread = Math.sqrt(sorted.reduce((sum, ms) => sum + (ms - mean) ** 2, 0) / sorted.length);
  console.log(
    `${word} ${(sorted[sorted.length >> 1] ?? 0).toFixed(0)} ${Math.max(14, spread).toFixed(0)} (${all.length})`,
  );
}
