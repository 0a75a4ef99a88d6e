import { item } from '../numerics/nth.ts';
import { type Course, timesOf } from './course.ts';

/** What a course depends on; the pace as its logarithm. */
export const courseFields = ['lnPace', 'order', 'saturation', 'bend', 'lagS', 'warmingPerS', 'anchorS'] as const;
export type CourseField = (typeof courseFields)[number];
/** Change of each figure of a course by one parameter. */
export type CourseChange = Readonly<Record<CourseField, number>>;

const step = 1e-4;

/**
 * Derivatives of the moments at which the gas had come out by those figures of the course that any of `changes` touches.
 * Moments scale with the unit of time, so the derivative by ln(pace) follows from the others (Euler's theorem):
 * dt/d ln(pace) = -t + lag dt/dlag - w dt/dw + a dt/da. The others by central differences, and that by warming in closed
 * form where no gas is held back.
 * @returns null where the course never reaches a share
 */
export function momentSlopes(
  course: Course,
  logs: readonly number[],
  changes: readonly (CourseChange | null)[],
): Partial<Record<CourseField, readonly number[]>> | null {
  const { lagS = 0, warmingPerS = 0, anchorS = 0 } = course;
  const touched = (field: CourseField): boolean => changes.some((change) => change !== null && change[field] !== 0);
  const pace = touched('lnPace');
  const slopes: Partial<Record<CourseField, readonly number[]>> = {};
  const differences = (field: Exclude<CourseField, 'lnPace'>, h: number): boolean => {
    const value = course[field] ?? (field === 'bend' ? 1 : 0);
    const up = timesOf({ ...course, [field]: value + h }, logs);
    const down = timesOf({ ...course, [field]: value - h }, logs);
    if (!up || !down) return false;
    slopes[field] = up.map((t, i) => (t - item(down, i)) / (2 * h));
    return true;
  };
  const base = timesOf(course, logs);
  if (!base) return null;
  // The time that the run takes, which says what a change of warming or lag amounts to.
  const span = Math.max(Math.abs(base.at(-1) ?? 0), 1e-30);
  const needed: readonly (readonly [Exclude<CourseField, 'lnPace'>, boolean, number])[] = [
    ['order', touched('order'), step],
    ['saturation', touched('saturation'), step * Math.max(course.saturation ?? 0, step)],
    ['bend', touched('bend'), step],
    ['lagS', lagS > 0 && (touched('lagS') || pace), step * lagS],
    ['anchorS', touched('anchorS') || (pace && anchorS !== 0), step * span],
  ];
  for (const [field, wanted, h] of needed) if (wanted && !differences(field, h)) return null;
  if (touched('warmingPerS') || (pace && warmingPerS !== 0)) {
    if (lagS === 0 && anchorS === 0 && warmingPerS === 0) slopes.warmingPerS = base.map((t) => (-t * t) / 2);
    else if (!differences('warmingPerS', step / span)) return null;
  }
  if (pace) {
    const { lagS: byLag, warmingPerS: byWarming, anchorS: byAnchor } = slopes;
    slopes.lnPace = base.map(
      (t, i) => -t + lagS * (byLag?.[i] ?? 0) - warmingPerS * (byWarming?.[i] ?? 0) + anchorS * (byAnchor?.[i] ?? 0),
    );
  }
  return slopes;
}
