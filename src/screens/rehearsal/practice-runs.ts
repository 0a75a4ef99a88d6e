import type { Plan } from '../../log/plan.ts';
import type { Setup } from '../../log/setup.ts';
import { adviceOf } from '../../planning/plan-advice.ts';
import type { SimulatedRun } from '../../rehearsal/simulated-run.ts';

/** A reaction that can be rehearsed, in real time. */
export interface PracticeRun {
  /** Label of the run of the plan; null for the usual reaction. */
  readonly label: string | null;
  readonly ceilingMl: number;
  readonly kPerS: number;
}

/** An invented brisk mixture: 2 mL in the first 12 s or so, 20 mL in under 3 minutes. */
const usual: PracticeRun = { label: null, ceilingMl: 45, kPerS: 0.0037 };

/** What can be rehearsed: a usual reaction, and the runs of the plan whose course is known. */
export function practiceRuns(plan: Plan | null, setup: Setup | null): readonly PracticeRun[] {
  if (!plan || !setup) return [usual];
  const planned = adviceOf(plan, setup).flasks.flatMap(({ label, course }): PracticeRun[] =>
    course
      ? [
          {
            label,
            ceilingMl: course.ceilingMl,
            kPerS: course.rateMlPerS / course.ceilingMl,
          },
        ]
      : [],
  );
  return [usual, ...planned];
}

/** The simulated run at a speed; the water starts to rise some seconds after "start run", as it does at the bench. */
export const simulated = (run: PracticeRun, speed: number): SimulatedRun => ({
  baselineMl: 0,
  ceilingMl: run.ceilingMl,
  kPerS: run.kPerS * speed,
  mixS: 3,
});
