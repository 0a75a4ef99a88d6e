import type { Random } from '../../src/numerics/random.ts';

/**
 * People who call volumes, each in their own way. No knowledge of the tool: only of what a cylinder shows and what a
 * person does who watches it.
 */
export interface Caller {
  readonly startMl: number;
  readonly stepMl: number;
  /** What the tool was set to: mostly the caller's own step. */
  readonly plannedStepMl: number;
  readonly capacityMl: number;
  readonly baselineMl: number | null;
  readonly calls: readonly CallerCall[];
}

export interface CallerCall {
  readonly timeS: number;
  readonly value: string;
  /** Right after a surge: off the trend because it really happened. */
  readonly surge: boolean;
  /** The next mark this caller means to call, mL; null: beyond the glass, or nobody could know it yet. */
  readonly nextMl: number | null;
}

export interface CallerKind {
  /** Of 1, how many runs have each. */
  readonly leftOut: number;
  readonly between: number;
  readonly changedStep: number;
  readonly otherThanPlanned: number;
  readonly surge: number;
}

export const everyKind: CallerKind = { leftOut: 0.3, between: 0.3, changedStep: 0.2, otherThanPlanned: 0.1, surge: 0 };

const steps = [0.5, 1, 2, 2, 2, 2.5, 5];
const readings = 11;
const capacityMl = 100;

const tidy = (value: number): number => Number(value.toFixed(6));

/** One run: the marks this caller calls, when the water reaches them (first order towards a ceiling), and what is next. */
export function makeCaller(random: Random, kind: CallerKind = everyKind): Caller {
  const pick = <T>(list: readonly T[]): T => list[random.integer(list.length)] as T;
  const stepMl = pick(steps);
  const grain = pick([1, 0.5, 0.1]);
  const startMl = tidy(random.integer(Math.round(60 / grain) + 1) * grain);
  const plannedStepMl = random.uniform() < kind.otherThanPlanned ? pick(steps) : stepMl;
  const baselineMl = random.uniform() < 0.5 ? Math.max(0, tidy(startMl - random.integer(5))) : null;

  const changeAt = random.uniform() < kind.changedStep ? 4 + random.integer(4) : null;
  const otherStepMl = pick(steps.filter((other) => other !== stepMl));
  /** One oddity at a time: where the step has just changed, nobody could tell them apart. */
  const apartFromChange = (at: number | null): number | null =>
    at !== null && changeAt !== null && Math.abs(at - changeAt) <= 3 ? null : at;
  const leftOutAt = apartFromChange(random.uniform() < kind.leftOut ? 2 + random.integer(readings - 3) : null);
  const betweenAt = random.uniform() < kind.between ? 2 + random.integer(readings - 3) : null;
  const surgeAt = apartFromChange(random.uniform() < kind.surge ? 3 + random.integer(readings - 5) : null);

  /** mL called, the mark due after it, and mL that came at once just before. */
  const said: { ml: number; nextMl: number | null; jumpMl: number }[] = [];
  let markMl = startMl;
  for (let i = 0; i < readings; i++) {
    const changed = changeAt !== null && i >= changeAt;
    const now = changed ? otherStepMl : stepMl;
    const jumpMl = i === surgeAt ? now * (2 + random.integer(4)) : 0;
    if (i > 0) markMl = tidy(markMl + now * (i === leftOutAt ? 2 : 1) + jumpMl);
    // Another step can be known after two calls that agree on it; half the step after three, since the first may be
    // one in between.
    const halved = changeAt !== null && Math.abs(stepMl - 2 * otherStepMl) < 1e-6;
    const told = changeAt === null || i < changeAt - 1 || i >= changeAt + (halved ? 2 : 1);
    const first = plannedStepMl !== stepMl && i < 2;
    said.push({ ml: markMl, nextMl: told && !first ? tidy(markMl + now) : null, jumpMl });
    if (i === betweenAt && i !== surgeAt && changeAt === null) {
      const ml = tidy(markMl + (now <= 1 ? 0.1 : pick([0.5, 1, 0.7]) * (now / 2)));
      const shown = Math.round(10 * ml) / 10;
      if (shown > markMl && shown < markMl + now) said.push({ ml: shown, nextMl: tidy(markMl + now), jumpMl: 0 });
    }
  }
  const reached = said.filter(({ ml }) => ml <= capacityMl);
  const spanMl = stepMl * (readings + 8) * (1 + 3 * random.uniform());
  const rateMlPerS = stepMl / (6 + 30 * random.uniform());
  const decimals = random.uniform() < 0.2 ? 1 : 0;
  let jumpedMl = 0;
  const calls = reached.map(({ ml, nextMl, jumpMl }): CallerCall => {
    jumpedMl += jumpMl;
    const madeMl = ml - startMl - jumpedMl;
    const ceilingMl = Math.max(spanMl, 1.15 * madeMl);
    const timeS = 20 - (ceilingMl / rateMlPerS) * Math.log1p(-madeMl / ceilingMl) + random.normal(0, 0.15);
    const own = String(ml).split('.')[1]?.length ?? 0;
    return {
      timeS,
      value: ml.toFixed(Math.max(own, decimals)),
      surge: jumpMl > 0,
      nextMl: nextMl !== null && nextMl <= capacityMl ? nextMl : null,
    };
  });
  return { startMl, stepMl, plannedStepMl, capacityMl, baselineMl, calls };
}
