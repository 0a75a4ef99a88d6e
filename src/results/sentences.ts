import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../analysis/analyse-run.ts';
import { slopeOn } from '../analysis/estimate.ts';
import type { Refused } from '../analysis/run-data.ts';
import { unbroken } from '../analysis/unbroken.ts';

/** One plain sentence (or two) under each result. Percentages are whole; rates are in mL/s. */

/** What happened in a run, for a person who has not heard of estimators. */
export function runSentence(analysis: RunAnalysis | Refused): string {
  if (!analysis.ok) return analysis.sentence;
  const { run, used, frame } = analysis;
  if (analysis.falling !== null) return analysis.falling;
  if (!used) return `Run ${run.label}: no rate can be told from these readings.`;
  // What is said of the shape leaves flagged readings out: a surge or a late call is no bend.
  const { shape } = analysis.withoutFlags ?? used;
  const first = slopeOn(shape, frame.firstTimeS);
  const last = slopeOn(shape, frame.firstTimeS + frame.timeScaleS);
  const parts: string[] = [];
  const change = first > 0 ? Math.round((1 - last / first) * 100) : 0;
  if (used.estimator === 'line') {
    const { quadratic } = analysis.estimates;
    parts.push(
      analysis.flags.length > 0 && analysis.usedBy === 'recommendation'
        ? `Apart from what is flagged, the gas of run ${run.label} came at a steady rate.`
        : quadratic.ok && (quadratic.curvature?.p ?? 1) < 0.05
          ? `The flow of run ${run.label} changed on the way; the straight line gives its mean.`
          : `The gas of run ${run.label} came at a steady rate.`,
    );
  } else if (change >= 2) {
    parts.push(
      used.estimator === 'firstOrder'
        ? `At the end of run ${run.label} the gas came ${change} % slower than at its first reading: the reagent was being used up; the first-order estimate accounts for it.`
        : `At the end of run ${run.label} the gas came ${change} % slower than at its first reading; the parabola gives the rate at the start.`,
    );
  } else if (change <= -2) {
    parts.push(`Run ${run.label} sped up by ${-change} % on the way: warming, or a late start.`);
  } else {
    parts.push(`The rate of run ${run.label} hardly changed on the way.`);
  }
  const relative = used.rateM3PerS > 0 ? (used.u / used.rateM3PerS) * 100 : 0;
  if (relative > 0) parts.push(`The rate is known to ${relative < 10 ? relative.toFixed(1) : relative.toFixed(0)} %.`);
  if (used.at === 'zero-gas' && !run.baselineM3)
    parts.push('No baseline was called, so gas made before the first reading is not counted.');
  if (used.scatter.basis === 'scatter' && frame.stated)
    parts.push('The readings scatter more than was stated; the uncertainty goes by the scatter.');
  return unbroken(parts.join(' '));
}

/** How much the flags matter. */
export function flagsSentence(analysis: RunAnalysis): string | null {
  const { flags, used, withoutFlags } = analysis;
  if (flags.length === 0) return null;
  const what =
    flags.length === 1
      ? 'One reading does not go with the others'
      : `${flags.length} readings do not go with the others`;
  if (!used || !withoutFlags) return `${what}.`;
  const change = Math.round((withoutFlags.rateM3PerS / used.rateM3PerS - 1) * 1000) / 10;
  return change === 0
    ? `${what}; the rate is the same with and without ${flags.length === 1 ? 'it' : 'them'}.`
    : unbroken(
        `${what}. With ${flags.length === 1 ? 'it' : 'them'} put right or set aside the rate is ${Math.abs(change)} % ${change > 0 ? 'higher' : 'lower'}.`,
      );
}

/** What the rate law says. */
export function lawSentence({ law }: ExperimentAnalysis, nameOf: (species: string) => string = (s) => s): string {
  if (!law.ok) return law.sentence;
  const told = Object.entries(law.orders);
  if (told.length === 0) return law.problems.map(({ sentence }) => sentence).join(' ');
  const parts = told.map(([species, order]) => {
    const name = nameOf(species);
    if (order.accepted === null) return `the order in ${name} is not a whole or half number`;
    if (order.accepted === 0) return `the rate does not depend on ${name}`;
    if (order.accepted === 1) return `doubling ${name} doubles the rate`;
    return `doubling ${name} makes the rate ${Number((2 ** order.accepted).toPrecision(3))} times as large`;
  });
  const open = law.problems.map(({ sentence }) => ` ${sentence}`).join('');
  const first = parts.join(', and ');
  return `${first.charAt(0).toUpperCase()}${first.slice(1)}.${open}`;
}

/** Which input would be worth improving. */
export function budgetSentence({ whole, law }: ExperimentAnalysis): string | null {
  const lines =
    whole.ok && whole.accepted ? whole.accepted.budget : law.ok && law.accepted ? sharesOf(law.accepted.shares) : [];
  const [largest] = lines;
  if (!largest) return null;
  const total = Math.sqrt(lines.reduce((sum, { u }) => sum + u * u, 0)) * 100;
  return unbroken(
    `k is known to ${total < 10 ? total.toFixed(1) : total.toFixed(0)} %. ${Math.round(largest.share * 100)} % of that variance is the ${largest.source}: measuring that better helps most.`,
  );
}

export function sharesOf(
  shares: readonly { readonly source: string; readonly u: number }[],
): { source: string; u: number; share: number }[] {
  const total = shares.reduce((sum, { u }) => sum + u * u, 0);
  return shares.map(({ source, u }) => ({ source, u, share: total > 0 ? (u * u) / total : 0 }));
}

/** How the runs agree about k. */
export function agreementSentence({ law }: ExperimentAnalysis): string | null {
  if (!law.ok || !law.accepted || law.accepted.birge === null) return null;
  const { birge } = law.accepted;
  if (birge < 1.5) return 'The runs agree about k within their uncertainties.';
  return birge < 2.5
    ? 'The runs differ about k somewhat more than their uncertainties say.'
    : 'The runs contradict one another about k: something differed between them that is not in the plan.';
}

/** Accepted k against the published one at the same temperature, both in L, mol, s. */
export function comparisonSentence(k: number, u: number, published: number, source: string): string {
  const ratio = k / published;
  const apart = Math.abs(k - published) / u;
  const percent = Math.abs(Math.round((ratio - 1) * 100));
  const about = percent === 0 ? 'the same as' : unbroken(`${percent} % ${ratio > 1 ? 'above' : 'below'}`);
  const factor =
    Math.abs(ratio - 2) < 0.2 || Math.abs(ratio - 0.5) < 0.05
      ? ' A factor of two is usually the convention: the rate of the gas, or that of the reagent of which two are used up.'
      : '';
  return `k is ${about} the published ${Number(published.toPrecision(3))} (${source}), ${apart < 2 ? 'within' : 'outside'} its uncertainty.${factor}`;
}
