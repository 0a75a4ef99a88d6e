import { studentQuantile } from '../numerics/distributions.ts';
import { fitLinear } from '../numerics/least-squares.ts';

/** A call of a run with what stands in the log of it. */
interface Standing {
  readonly timeS: number;
  readonly settled: unknown;
  readonly current: { readonly doubtful: boolean } | null;
}

/** Scatter of a practised caller, s, and how many times it a single reading may lie off (reasoned). */
const callerS = 0.25;
const offFrom = 4;
/** Readings that scatter so many times more do not lie on one parabola: then only few of their own distances tell. */
const sloppyFrom = 3;
const sloppySure = 0.9995;
/**
 * Whether a value at call `i` leaves the curve for that one moment: no surge does that, since what has dripped stays.
 * The curve is a parabola through up to three readings on either side; where those do not lie on one (a surge among
 * them), and for the two latest calls, nothing can be told.
 */
export function leavesCurve(
  calls: readonly Standing[],
  levels: readonly number[],
  i: number,
): (value: number) => boolean {
  const now = calls[i];
  if (!now) return () => false;
  const points = calls.flatMap((call, k) => {
    const ml = levels[k] ?? Number.NaN;
    const sure = call.settled !== null || (call.current !== null && !call.current.doubtful);
    return k !== i && sure && Number.isFinite(ml) ? [{ s: call.timeS - now.timeS, ml, before: k < i }] : [];
  });
  const before = points.filter((point) => point.before).slice(-3);
  const after = points.filter((point) => !point.before).slice(0, before.length === 0 ? 5 : 3);
  const around = [...before, ...after];
  if (after.length < 2 || around.length < 4) return () => false;
  const columns = [around.map(() => 1), around.map(({ s }) => s), around.map(({ s }) => s * s)];
  const { coefficients, cofactor, residualSd } = fitLinear(
    columns,
    around.map(({ ml }) => ml),
  );
  const [level = 0, rate = 0] = coefficients;
  if (!(rate > 0)) return () => false;
  const [expectedMl, foundMl] = [rate * callerS, residualSd ?? 0];
  const degrees = around.length - columns.length;
  const times = foundMl > sloppyFrom * expectedMl ? studentQuantile(sloppySure, degrees) : offFrom;
  const farMl = times * Math.max(expectedMl, foundMl) * Math.sqrt(1 + (cofactor[0]?.[0] ?? 0));
  return (value) => Math.abs(value - level) > farMl;
}
