/**
 * The caller by level alone, where no ear for words is at work: the loudest and nearest voice is the caller's, what is
 * well below it is background. Pure; counts in steps.
 */
export interface LoudStretches {
  /**
   * Takes the mean power of the next step.
   * @returns a stretch as loud as the caller that ended, once that is sure
   */
  push(power: number): LoudStretch | null;
  /** Where the stretch begins that goes on now; null: none does. */
  current(): number | null;
  /** Whether anything between the two steps was as loud as the caller; true while the caller's level is not known. */
  loudBetween(from: number, to: number): boolean;
  /** A call was made in these steps: how loud it was tells the caller's level. */
  learn(from: number, to: number): void;
}

export interface LoudStretch {
  /** The first sound, walked back from where it is loud. */
  readonly from: number;
  /** The step after the last. */
  readonly to: number;
}

/** The loudest of a call is no more below the loudest of the calls before, dB: common practice, no source. */
const callerWithinDb = 9;
/** Silence that ends a stretch, s: longer than that of the onset finder, which is first where nobody else talks. */
const hangS = 0.55;
/** Power is looked at over so long, s. */
const smoothS = 0.04;
const shortestS = 0.06;
/** The first sound of a word is no longer before its vowel, s. */
const firstSoundS = 0.16;
/** What sounded before is looked at over so long, s; the first sound stands over so much of it. */
const beforeS = 1;
const beforeShare = 0.85;
/** Calls from which the level is known, the least number of them, and how it falls while none comes, dB/s. */
const callsKept = 6;
const callsLeast = 2;
const fallsDbPerS = 0.05;
const keptS = 14;

const db = (power: number): number => 10 * Math.log10(power + 1e-12);

export function makeLoudStretches(stepS: number): LoudStretches {
  const kept = Math.round(keptS / stepS);
  const powers = new Float64Array(kept);
  const smooth = Math.round(smoothS / stepS);
  const [hang, back, before] = [hangS, firstSoundS, beforeS].map((s) => Math.round(s / stepS)) as [
    number,
    number,
    number,
  ];
  let steps = 0;
  let levels: number[] = [];
  let learntAt = 0;
  let started: number | null = null;
  let lastLoud = 0;

  const meanAt = (end: number): number => {
    let sum = 0;
    for (let step = end - smooth; step < end; step++) sum += powers[((step % kept) + kept) % kept] ?? 0;
    return sum / smooth;
  };
  const loudest = (from: number, to: number): number => {
    let most = 0;
    for (let end = Math.max(from, steps - kept) + smooth; end <= to; end++) most = Math.max(most, meanAt(end));
    return db(most);
  };
  /** Level from which on a sound may be the caller's, dB; null before it is known. */
  const bound = (): number | null => {
    if (levels.length < callsLeast) return null;
    // The second loudest: one knock on the phone is no caller.
    const second = [...levels].sort((a, b) => b - a)[1] ?? 0;
    return second - callerWithinDb - (steps - learntAt) * stepS * fallsDbPerS;
  };
  const beginning = (loud: number): number => {
    const earlier: number[] = [];
    for (let end = loud - back - before; end < loud - back; end += smooth) if (end > smooth) earlier.push(meanAt(end));
    earlier.sort((a, b) => a - b);
    const floor = 1.5 * (earlier[Math.floor(beforeShare * earlier.length)] ?? 0);
    let from = loud - smooth;
    while (from > Math.max(smooth, loud - back) && meanAt(from) > floor) from--;
    return Math.max(0, from - Math.round(smooth / 2));
  };

  return {
    push(power) {
      powers[steps % kept] = power;
      steps++;
      const least = bound();
      if (least === null) return null;
      if (db(meanAt(steps)) > least) {
        started ??= steps;
        lastLoud = steps;
      }
      if (started === null || steps - lastLoud < hang) return null;
      const [from, to] = [beginning(started), lastLoud];
      const long = (lastLoud - started) * stepS + smoothS / 2 >= shortestS;
      started = null;
      return long ? { from, to } : null;
    },
    current: () => (started === null ? null : beginning(started)),
    loudBetween(from, to) {
      const least = bound();
      return least === null || loudest(from, to) > least;
    },
    learn(from, to) {
      const level = loudest(from, to);
      const least = bound();
      if (least !== null && level < least) return;
      levels = [...levels.slice(-(callsKept - 1)), level];
      learntAt = steps;
    },
  };
}
