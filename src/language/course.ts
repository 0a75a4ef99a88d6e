/**
 * How readings of a run follow one another: probabilities of the next value, before anything is heard. All volumes in
 * mL, times in s.
 */

/** What is known of a run's readings beforehand. */
export interface Frame {
  /** Distance between called marks; null: readings are called at any moment. */
  readonly stepMl: number | null;
  /** Value expected first (a first mark from the setup); null: unknown. */
  readonly startMl: number | null;
  /** A mark of this run: marks lie whole steps from it. Missing: they are counted from the last value. */
  readonly anchorMl?: number;
  /** Nothing but one reading says where the marks lie: it may be a reading in between, or misheard. */
  readonly marksUnsure?: boolean;
  /** Cylinder reading before mixing: the first value is near it, whole step or not. */
  readonly baselineMl?: number;
  readonly capacityMl: number;
  /** Finest graduation. */
  readonly divisionMl: number;
}

/** What the readings before and the clock say of the volume at a moment. */
export interface Prediction {
  readonly volumeMl: number;
  readonly uMl: number;
}

/**
 * Probabilities of how a caller goes on, by marks passed since the last call. Reasoned, not measured: nearly always the
 * next mark; now and then one or two are missed; a value is seldom said twice; it falls only when the last was wrong or
 * water was lost. Whatever is called, `uniform` of it may be any graduation: so that evidence can always win.
 */
const going = {
  next: 0.93,
  skipped: [0.024, 0.014, 0.01],
  far: 0.01,
  again: 0.004,
  back: 0.003,
  /** Whatever the water shows at the moment, mark or not; after a reading off the marks far more often. */
  shown: 0.02,
  shownOffMarks: 0.3,
  uniform: 0.025,
};
/** Readings between the graduations are this much less likely than those on them. */
const betweenGraduations = 0.7;
const halves = 0.85;
/** Beyond the glass, or below zero: only to keep the arithmetic whole. */
const impossible = 1e-9;

/** Probability that a run's first value is this one. */
export function firstValue(value: number, frame: Frame): number {
  const any = anyValue(value, frame);
  if (any <= impossible) return impossible;
  const { stepMl, startMl } = frame;
  if (startMl !== null) {
    const steps = stepMl === null ? null : (value - startMl) / stepMl;
    const near = Math.abs(value - startMl) < 1e-6 ? 0.75 : steps !== null && Math.abs(steps - 1) < 1e-6 ? 0.1 : 0;
    return near + 0.15 * any;
  }
  const { baselineMl } = frame;
  if (baselineMl === undefined) return any;
  // Some millilitres were lost to the mixing before the flow was steady; any volume above is as good as the next.
  const ahead = value - baselineMl;
  return 0.3 * any + 0.7 * (ahead >= 0 && ahead <= 10 ? (frame.divisionMl / 10) * onGraduation(value, frame) : 0);
}

/**
 * Probability that a call after `last` is `value`.
 * @param calls how many calls lie between the two: 1 for the next one, 2 when one between them was not understood
 * @param prediction what the run so far says of the volume now, or null
 */
export function nextValue(
  value: number,
  last: number,
  calls: number,
  frame: Frame,
  prediction: Prediction | null,
): number {
  const any = anyValue(value, frame);
  if (any <= impossible) return impossible;
  const { stepMl } = frame;
  const timed = prediction === null ? null : student((value - prediction.volumeMl) / prediction.uMl);
  if (stepMl === null) {
    const grid = frame.divisionMl;
    const falls = value < last ? 0.05 : 1;
    if (timed === null || prediction === null)
      return falls * (0.5 * any + 0.5 * (value > last ? decay(value - last, grid * 8) * grid : 0));
    return falls * (0.9 * timed * (grid / prediction.uMl) + 0.1 * any);
  }
  const offMarks =
    frame.marksUnsure === true || (frame.anchorMl !== undefined && !isWhole((last - frame.anchorMl) / stepMl));
  const byMark = markShare(value, last, calls, stepMl, frame.anchorMl ?? last) * (offMarks ? 0.6 : 1);
  // The clock tells a mark that was missed from one that was misheard; alone it decides nothing.
  const clock =
    timed === null || prediction === null || byMark === 0
      ? byMark
      : byMark * (0.3 + 0.7 * Math.min(3, timed / student(0.8)));
  const near =
    timed === null || prediction === null
      ? decay(value - last, 2 * stepMl * calls) * frame.divisionMl
      : timed * Math.min(1, frame.divisionMl / prediction.uMl);
  const shown = value <= last ? 0 : (offMarks ? going.shownOffMarks : going.shown) * near * onGraduation(value, frame);
  return clock + shown + going.uniform * any * (value < last ? 0.3 : 1);
}

/** The marks lie on the caller's grid; one reading in between ("41.5") leaves it where it is. */
function markShare(value: number, last: number, calls: number, stepMl: number, anchorMl: number): number {
  const fromAnchor = (value - anchorMl) / stepMl;
  if (isWhole(fromAnchor)) {
    const before = Math.floor((last - anchorMl) / stepMl + 1e-6);
    return markProbability(Math.round(fromAnchor) - before - (calls - 1));
  }
  const fromLast = (value - last) / stepMl - (calls - 1);
  return isWhole(fromLast) ? gridMoved * markProbability(Math.round(fromLast)) : 0;
}

/** How often a caller goes on from a reading off the marks instead of returning to them (reasoned). */
const gridMoved = 0.1;

function markProbability(steps: number): number {
  if (steps === 1) return going.next;
  if (steps === 0) return going.again;
  if (steps < 0) return going.back * 0.5 ** -steps;
  return going.skipped[steps - 2] ?? going.far * 0.6 ** (steps - 5);
}

/** Any graduation of the cylinder, each as likely as the other. */
function anyValue(value: number, { capacityMl, divisionMl }: Frame): number {
  if (value < 0 || value > capacityMl * 1.02 + 1e-9) return impossible;
  return (divisionMl / (capacityMl + divisionMl)) * onGraduation(value, { divisionMl });
}

function onGraduation(value: number, { divisionMl }: Pick<Frame, 'divisionMl'>): number {
  if (isWhole(value / divisionMl)) return 1;
  if (isWhole((value / divisionMl) * 2)) return halves;
  return isWhole((value / divisionMl) * 10) ? betweenGraduations : 0.02;
}

const isWhole = (ratio: number) => Math.abs(ratio - Math.round(ratio)) < 1e-6;
const decay = (distance: number, scale: number) => Math.exp(-distance / scale) / scale;

/** Density of Student's t with 3 degrees of freedom: a curve may be wrong by much. */
function student(t: number): number {
  const spread = 1 + (t * t) / 3;
  return 0.3675525969478613 / (spread * spread);
}
