import { makeFilterBank } from '../filter-bank.ts';
import { RATE } from './features.ts';

/** Log power per band and step of the last half minute, at the ear's rate. */
export interface StepPowers {
  push(samples: Float32Array): void;
  /** Natural log of the mean power of a band in a step; the quietest there is where it is not kept. */
  log(step: number, band: number): number;
  /** Power of all bands in a step. */
  power(step: number): number;
  /** Mean power over the steps from `from` up to `to`. */
  meanPower(from: number, to: number): number;
  /** Steps so far. */
  steps(): number;
  readonly bands: number;
}

export const stepS = 0.004;
const kept = 8192;
/** As in onset.ts: digital silence is not infinitely quiet. */
const dither = 10 ** -8.6;

export function makeStepPowers(): StepPowers {
  const bank = makeFilterBank(RATE, stepS);
  const { bands } = bank;
  const logs = new Float32Array(kept * bands).fill(Math.log(dither));
  const powers = new Float32Array(kept);
  let steps = 0;
  const holds = (step: number): boolean => step >= 0 && step < steps && step >= steps - kept;
  const power = (step: number): number => (holds(step) ? (powers[step % kept] ?? 0) : 0);
  return {
    bands,
    push(samples) {
      for (const sample of samples) {
        if (!bank.push(sample)) continue;
        const at = steps % kept;
        let all = 0;
        for (let band = 0; band < bands; band++) {
          const value = bank.powers[band] ?? 0;
          all += value;
          logs[at * bands + band] = Math.log(value + dither);
        }
        powers[at] = all;
        steps++;
      }
    },
    log: (step, band) => (holds(step) ? (logs[(step % kept) * bands + band] ?? 0) : Math.log(dither)),
    power,
    meanPower(from, to) {
      let sum = 0;
      for (let step = from; step < to; step++) sum += power(step);
      return sum / Math.max(1, to - from);
    },
    steps: () => steps,
  };
}
