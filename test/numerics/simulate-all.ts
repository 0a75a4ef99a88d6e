import { type MonteCarloResult, type MonteCarloTask, simulate } from '../../src/numerics/monte-carlo.ts';

/** The whole simulation at once, without the pauses that a worker makes. */
export function simulateAll(task: MonteCarloTask): MonteCarloResult {
  const steps = simulate(task);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}
