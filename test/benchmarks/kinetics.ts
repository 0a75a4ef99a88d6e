import { fileURLToPath } from 'node:url';
import { analyseExperiment, type ExperimentAnalysis } from '../../src/analysis/analyse-experiment.ts';
import { rateLaw } from '../../src/analysis/rate-law.ts';
import { five, randomOf, scenarios, simulate, type Truth, three } from './kinetics-simulator.ts';

/**
 * `npm run bench -- kinetics [--size=500] [--only=words] [--first=0]`: coverage, verdicts, what is confidently wrong and detection, over
 * the experiments of `kinetics-simulator.ts`.
 */

const inside = (x: number, { low95, high95 }: { low95: number | null; high95: number | null }): boolean =>
  low95 !== null && high95 !== null && x >= low95 && x <= high95;

class Tally {
  private readonly counts = new Map<string, { hit: number; of: number }>();
  add(name: string, hit: boolean): void {
    const entry = this.counts.get(name) ?? { hit: 0, of: 0 };
    entry.hit += hit ? 1 : 0;
    entry.of++;
    this.counts.set(name, entry);
  }
  text(name: string): string {
    const entry = this.counts.get(name);
    return entry ? `${((100 * entry.hit) / entry.of).toFixed(0).padStart(4)}%` : '    -';
  }
}

function judge(analysis: ExperimentAnalysis, truth: Truth, tally: Tally): void {
  const { verdict, headline, runs } = analysis;
  const fits = verdict.standing === 'fits';
  runs.forEach((run, i) => {
    const rates = truth.rates[i];
    if (!run.ok || !run.used || run.meanRate || !rates || !(rates.zeroGas > 0)) return;
    const rate = run.used.at === 'first-reading' ? rates.atFirst : rates.zeroGas;
    const ok = inside(rate, run.used);
    tally.add('rate', ok);
    tally.add('rate wrong, unsaid', fits && run.flags.length === 0 && !ok);
  });
  if (headline && truth.orders)
    for (const [name, order] of Object.entries(headline.orders)) {
      const ok = inside(truth.orders[name] ?? Number.NaN, order);
      tally.add('orders', ok);
    }
  const kOk = headline?.k ? inside(truth.k, headline.k) : null;
  if (kOk !== null && truth.orders) tally.add('k', kOk);
  if (kOk !== null && fits && truth.orders) tally.add('k if fits', kOk);
  const lawWrong =
    headline !== null &&
    ((kOk === false && truth.orders !== null) ||
      (headline.k !== null &&
        truth.orders !== null &&
        Object.entries(headline.k.orders).some(([n, x]) => x !== truth.orders?.[n])) ||
      (truth.orders === null && headline.k !== null));
  tally.add('k or order wrong, unsaid', fits && lawWrong);
  // Whatever is said beside it: a k that misses the truth by a tenth and more, or is at wrong orders, should not be shown.
  const far = headline?.k ? Math.abs(headline.k.value / truth.k - 1) > 0.1 : false;
  tally.add('k far off, shown', headline?.k ? lawWrong && (far || truth.orders === null) : false);
  tally.add('fits', fits);
  tally.add('no k', headline?.k === undefined || headline.k === null);
  tally.add(
    'flagged',
    runs.some((run) => run.ok && run.flags.length > 0),
  );
}

/** The law of starting rates alone: rates with errors of a known size, their uncertainties from few degrees of freedom. */
interface LawAlone {
  readonly runs: readonly (readonly [number, number])[];
  /** Standard deviation of a rate, given the true rate and the slowest of all. */
  readonly sd: (rate: number, slowest: number) => number;
  readonly df: number;
  readonly given?: Readonly<Record<string, number>>;
}

const lawK = 0.0115;
/** Fast and slow runs, with a repeat of the slowest. */
const wide: readonly (readonly [number, number])[] = [
  [0.05, 0.08],
  [0.1, 0.08],
  [0.4, 0.08],
  [0.1, 0.16],
  [0.4, 0.02],
  [0.05, 0.08],
];

function lawAlone({ runs, sd, df, given }: LawAlone, size: number): string {
  const tally = new Tally();
  let bias = 0;
  let width = 0;
  let count = 0;
  const slowest = Math.min(...runs.map(([a, b]) => lawK * a * b));
  for (let seed = 0; seed < size; seed++) {
    const random = randomOf(seed * 31 + 17 * df);
    const rows = runs.map(([a, b], i) => {
      const rate = lawK * a * b;
      let chi = 0;
      for (let j = 0; j < df; j++) chi += random.normal(1) ** 2;
      const u = sd(rate, slowest);
      return {
        label: String(i),
        rate: rate + random.normal(u),
        uRate: u * Math.sqrt(chi / df),
        dfRate: df,
        concentrations: {
          A: { value: a, u: 0, uCommonRelative: 0 },
          B: { value: b, u: 0, uCommonRelative: 0 },
        },
      };
    });
    const law = rateLaw(rows, given ? { orders: given } : {});
    tally.add('law', law.ok);
    if (!law.ok) continue;
    if (law.accepted) tally.add('k', inside(lawK, law.accepted));
    if (given) continue;
    for (const [, order] of Object.entries(law.orders)) {
      tally.add('orders', inside(1, order));
      bias += order.value - 1;
      width += order.u;
      count++;
    }
    tally.add(
      'no order or a wrong one',
      law.accepted === null || Object.values(law.accepted.orders).some((x) => x !== 1),
    );
  }
  const orders =
    count > 0
      ? `; orders ${tally.text('orders')}, mean error ${(bias / count).toFixed(3)}, mean u ${(width / count).toFixed(3)}; not 1 and 1 ${tally.text('no order or a wrong one')}`
      : '';
  return `k ${tally.text('k')}${orders}`;
}

function lawsAlone(size: number): void {
  const given = { A: 1, B: 1 };
  console.log(`\nLaw of starting rates alone, ${size} experiments each. Coverage of k and of the orders:`);
  for (const df of [1, 2, 5, 9])
    console.log(
      `  2 % of each rate, ${df} df, orders given: ${lawAlone({ runs: three, sd: (r) => 0.02 * r, df, given }, size)}`,
    );
  for (const df of [2, 5, 9])
    console.log(
      `  2 % of each rate, ${df} df, five runs:    ${lawAlone({ runs: five, sd: (r) => 0.02 * r, df }, size)}`,
    );
  for (const share of [0.02, 0.1, 0.2, 0.3])
    for (const df of [2, 9])
      console.log(
        `  the same error in all, ${(100 * share).toFixed(0)} % of the slowest, ${df} df: ${lawAlone({ runs: wide, sd: (_, slowest) => share * slowest, df }, size)}`,
      );
}

const columns = [
  'rate',
  'orders',
  'k',
  'k if fits',
  'fits',
  'no k',
  'flagged',
  'k or order wrong, unsaid',
  'rate wrong, unsaid',
  'k far off, shown',
];

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const argument = (name: string): string | undefined =>
    process.argv.find((one) => one.startsWith(`--${name}=`))?.slice(name.length + 3);
  const size = Number(argument('size') ?? (process.argv.includes('--quick') ? 50 : 500));
  const only = argument('only');
  const first = Number(argument('first') ?? 0);
  console.log(`${size} experiments each, seeds ${first} to ${first + size - 1}\n`);
  console.log(`${''.padEnd(32)} ${columns.join(' | ')}`);
  for (const scenario of scenarios) {
    if (only && !scenario.title.includes(only)) continue;
    const tally = new Tally();
    const reasons = new Map<string, number>();
    const begun = performance.now();
    for (let seed = first; seed < first + size; seed++) {
      const { experiment, truth } = simulate(scenario, seed);
      const analysis = analyseExperiment(experiment);
      judge(analysis, truth, tally);
      for (const { code } of analysis.verdict.reasons) reasons.set(code, (reasons.get(code) ?? 0) + 1);
    }
    const ms = (performance.now() - begun) / size;
    console.log(
      `${scenario.title.padEnd(32)} ${columns.map((name) => tally.text(name)).join(' | ')}  (${ms.toFixed(0)} ms)`,
    );
    const said = [...reasons].filter(([code]) => code !== 'inputs-without-uncertainty' && code !== 'nothing-left-over');
    if (said.length > 0) console.log(`    ${said.map(([code, n]) => `${code} ${n}`).join(', ')}`);
  }
  if (!only || only === 'law alone') lawsAlone(4 * size);
  if (!only) {
    for (const count of [20, 100]) {
      const many = simulate(
        { title: '', runs: Array.from({ length: count }, (_, i) => five[i % 5] ?? [0.1, 0.1]), stated: true },
        1,
      );
      const begun = performance.now();
      analyseExperiment(many.experiment);
      console.log(`${count} runs in one file: ${((performance.now() - begun) / 1000).toFixed(1)} s`);
    }
  }
}
