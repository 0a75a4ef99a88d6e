/**
 * A reaction that makes gas by first order up to a ceiling, as it shows in the cylinder: what the person of a
 * rehearsal looks at, and the truth their calls are compared with.
 */
export interface SimulatedRun {
  /** Cylinder reading before mixing, mL. */
  readonly baselineMl: number;
  /** Displaced volume at full conversion, mL. */
  readonly ceilingMl: number;
  /** Rate constant of the gas, 1/s, already multiplied by the speed of the rehearsal. */
  readonly kPerS: number;
  /** Seconds from "start run" to the mixing. */
  readonly mixS: number;
}

/** Cylinder reading `seconds` after "start run", mL. */
export function readingAt(run: SimulatedRun, seconds: number): number {
  const mixed = Math.max(0, seconds - run.mixS);
  return run.baselineMl - run.ceilingMl * Math.expm1(-run.kPerS * mixed);
}

/** Seconds after "start run" at which the cylinder reads `readingMl`; null when it never does. */
export function momentOf(run: SimulatedRun, readingMl: number): number | null {
  const part = (readingMl - run.baselineMl) / run.ceilingMl;
  if (part < 0 || part >= 1) return null;
  return run.mixS - Math.log1p(-part) / run.kPerS;
}

/** Marks of a run in the order of the day, mL: every `stepMl` above the baseline up to `spanMl` and below the ceiling. */
export function marksOf(run: SimulatedRun, stepMl: number, spanMl: number): readonly number[] {
  const marks: number[] = [];
  const first = Math.floor(run.baselineMl / stepMl + 1e-9) + 1;
  for (let i = 0; i < 1000; i++) {
    const mark = Number(((first + i) * stepMl).toPrecision(12));
    if (mark - run.baselineMl > spanMl + 1e-9 || momentOf(run, mark) === null) break;
    marks.push(mark);
  }
  return marks;
}
