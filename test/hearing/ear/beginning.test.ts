import { describe, expect, test } from 'vitest';
import { backgroundOf, beginningOf } from '../../../src/hearing/ear/beginning.ts';
import { RATE } from '../../../src/hearing/ear/features.ts';
import { firstSound } from '../../../src/hearing/ear/first-sounds.ts';
import { makeStepPowers, type StepPowers, stepS } from '../../../src/hearing/ear/step-powers.ts';
import { makeChance, pinkNoise } from '../../browser/speech-sound.ts';

/** A vowel at 2.1 s, whose breath or hiss begins at 2 s, so many dB below it. */
const beginsS = 2;
const vowelS = 2.1;

function sound(hissDb: number, noiseDb: number, more: (t: number) => number = () => 0): StepPowers {
  const chance = makeChance(11);
  const noise = pinkNoise(3 * RATE, chance);
  const scale = Math.sqrt(noise.reduce((sum, v) => sum + v * v, 0) / noise.length);
  const vowel = 0.07;
  const track = noise.map((v, i) => {
    const t = i / RATE;
    const voiced = [3, 4, 5, 6, 12, 13].reduce((sum, k) => sum + Math.sin(2 * Math.PI * 120 * k * t), 0) / Math.sqrt(3);
    const hiss = Math.sqrt(3) * (2 * chance() - 1);
    const level = t < beginsS || t > 2.5 ? 0 : vowel;
    const own = t < vowelS ? hiss * 10 ** (hissDb / 20) : voiced;
    return (v / scale) * vowel * 10 ** (noiseDb / 20) + level * own + more(t);
  });
  const powers = makeStepPowers();
  powers.push(track);
  return powers;
}

function placed(powers: StepPowers, word: string, earS: number, spreadS = 0.03): { errorMs: number; uMs: number } {
  const steps = Array.from({ length: 430 }, (_, k) => k + 30);
  const background = backgroundOf(powers, steps);
  if (!background) throw new Error('no background');
  const { step, uS } = beginningOf(powers, earS / stepS, spreadS, 0, background, firstSound(word));
  return { errorMs: 1000 * (step * stepS - beginsS), uMs: 1000 * uS };
}

describe('the beginning of a word', () => {
  test('is that of a hiss that can be heard', () => {
    expect(Math.abs(placed(sound(-16, -40), 'six', 2.05).errorMs)).toBeLessThan(15);
  });

  test('is where the ear puts it while its breath hides under the room, and as uncertain', () => {
    const hidden = placed(sound(-28, -14), 'thirty', 2.01);
    expect(Math.abs(hidden.errorMs)).toBeLessThan(2 * hidden.uMs);
    expect(hidden.uMs).toBeGreaterThan(20);
  });

  test('is not that of a tone before it', () => {
    const tone = sound(-16, -40, (t) => (t > 1.75 && t < 1.95 ? 0.08 * Math.sin(2 * Math.PI * 900 * t) : 0));
    const { errorMs, uMs } = placed(tone, 'six', 2.02);
    expect(Math.abs(errorMs)).toBeLessThan(Math.max(20, 2 * uMs));
  });

  test('is not drawn away by another voice that runs into it, farther than is stated', () => {
    const voice = sound(-16, -40, (t) => (t > 1.8 && t < 2.02 ? 0.02 * Math.sin(2 * Math.PI * 500 * t) : 0));
    const { errorMs, uMs } = placed(voice, 'six', 2.02);
    expect(Math.abs(errorMs)).toBeLessThan(Math.max(30, 2 * uMs));
  });

  test('is not that of a word of others before it, where others have talked all along', () => {
    const voice = (t: number): number => 0.02 * Math.sin(2 * Math.PI * 500 * t);
    const last = (t: number): boolean => t > 1.85 && t < 2.02;
    const alone = placed(
      sound(-24, -40, (t) => (last(t) ? voice(t) : 0)),
      'thirty',
      2.01,
      0.04,
    );
    const talk = sound(-24, -40, (t) => (last(t) || (t < 1.7 && t % 0.5 < 0.15) ? voice(t) : 0));
    const amongOthers = placed(talk, 'thirty', 2.01, 0.04);
    expect(Math.abs(amongOthers.errorMs)).toBeLessThan(0.6 * Math.abs(alone.errorMs));
    expect(Math.abs(amongOthers.errorMs)).toBeLessThan(2 * amongOthers.uMs);
  });

  test('is not that of a moment of lost sound before it', () => {
    const whole = sound(-16, -20);
    const lost = (step: number): boolean => step * stepS > 1.93 && step * stepS < 1.99;
    const silence = Math.log(10 ** -8.6);
    const powers: StepPowers = { ...whole, log: (step, band) => (lost(step) ? silence : whole.log(step, band)) };
    const { errorMs, uMs } = placed(powers, 'six', 2.02);
    expect(Math.abs(errorMs)).toBeLessThan(20);
    expect(uMs).toBeLessThan(30);
  });
});
