import { type Course, conversionTime } from './course.ts';
import { type CourseFit, type CourseModel, courseResponse, fitCourses, startPace } from './fit-courses.ts';
import { amountPerVolumeRate } from './gas-frame.ts';
import { isWild } from './judge-order.ts';
import { juryOf } from './jury.ts';
import { type Refused, type RunData, refuse } from './run-data.ts';
import { halfWidth95, type Scatter } from './scatter.ts';
import { unstated } from './tied-ceilings.ts';
import { warmingOf, warmingPrecision } from './warming.ts';
import { type RunPoints, type WholePoints, wholePoints } from './whole-points.ts';

/** A fitted figure with its 95 % interval. */
export interface FittedFigure {
  readonly value: number;
  readonly u: number;
  readonly low95: number;
  readonly high95: number;
}

/** All readings of all runs fitted at once. */
export interface WholeFit {
  readonly ok: true;
  /** d[gas]/dt = k prod c^order in mol, L, s; with m3/s of displaced gas for the rate where amounts are not known. */
  readonly k: number;
  /** Standard uncertainty of ln k from the readings alone. */
  readonly uRelative: number;
  /** The part of it that no repeat of the readings would show: how far a drift can go is known beforehand only. */
  readonly uPrior: number;
  readonly df: number;
  readonly orders: Readonly<Record<string, FittedFigure>>;
  /** Michaelis constant of the limiting reagent, mol/L, where its form was fitted; k then multiplies c/(K + c). */
  readonly saturation: FittedFigure | null;
  /** Time constant of the release of gas held back at first, s; null where none was fitted. */
  readonly lag: { readonly seconds: number; readonly u: number } | null;
  /** Relative growth of the rate beyond what called temperatures say, 1/s, of all runs; u includes what is known beforehand. */
  readonly warming: { readonly perS: number; readonly u: number } | null;
  readonly scatter: Scatter;
  /** Akaike's corrected criterion, to compare fits to the same readings. */
  readonly aicc: number;
  /** Moment of zero gas of each run, on its own time axis, s. */
  readonly offsetsS: readonly { readonly label: string; readonly value: number; readonly u: number }[];
  /** Called moment minus fitted moment, s, by run and reading (index in `run.readings`). */
  readonly residuals: readonly { readonly label: string; readonly index: number; readonly residualS: number }[];
  readonly runs: readonly string[];
  /** 'amount': k in concentration units; 'volume': in m3/s of displaced gas. */
  readonly unit: 'amount' | 'volume';
  /** The fit's own parameters, for a start (`near`). */
  readonly parameters: readonly number[];
}

export interface WholeFitOptions {
  /** Orders to hold; every other species whose concentration differs is fitted, the limiting one always. */
  readonly fixed?: Readonly<Record<string, number>>;
  /** Where to start the orders; 1 unless given. */
  readonly start?: Readonly<Record<string, number>>;
  /** Key of the limiting reagent when the runs carry no gas frame. */
  readonly limiting?: string;
  /** Rate of each run at its own temperature over that at the reference temperature (Arrhenius); 1 unless given. */
  readonly pace?: (run: RunData) => number;
  /** Of the rates; absent: what the runs of the fit allow. 'amount' asks for runs that all tell amounts. */
  readonly unit?: 'amount' | 'volume';
  /** Fit a release lag, one for all runs, from this start, s. */
  readonly lagStartS?: number;
  /** Michaelis form in the limiting reagent in place of an order, from this start, mol/L. */
  readonly saturationStart?: number;
  /**
   * Activation energy, J/mol: a temperature that was given once may have drifted, and the rate with it. Absent: the
   * temperature is taken as constant but for the drift that was called.
   */
  readonly activationJPerMol?: number;
  /** Start from a fit to nearly the same readings with the same options, and take one step, or `nearSteps`. */
  readonly near?: WholeFit;
  readonly nearSteps?: number;
}

/**
 * One rate law for all readings: with f the share of the limiting reagent used up (displaced gas over the ceiling, both
 * at the pressure of the start), dV/dt = r0 (1 - f)^x, r0 = k prod c0^order / (moles per volume), whose solution for the
 * moment of a reading is t = t0 + (C/r0) g(f), see `conversionTime`; or the Michaelis form, and either with gas held back
 * at first (`course.ts`). Unknown: ln k, the orders, one t0 for each run (mixing, dead time and the caller's delay all go
 * there), and what the options add.
 *
 * ln k is taken at the geometric mean of the concentrations and carried to the unit afterwards, so that nothing depends
 * on units. Other reagents than the limiting one are taken as lasting (a catalyst, or in excess).
 *
 * @returns refusals: no ceiling or baseline, readings beyond the ceiling, no convergence
 */
export function wholeFit(runs: readonly RunData[], options: WholeFitOptions = {}): WholeFit | Refused {
  const points = wholePoints(runs, options.limiting);
  if (!points.ok) return points;
  const design = designOf(points, options);
  const some = options.near ? null : juryOf(runs);
  const bySome = some && wholeFit(some, options);
  const model = modelOf(points, design, options, bySome?.ok ? { near: bySome, steps: stepsFromSome } : null);
  if (!model) return refuse('falling', 'The readings do not rise with time, so there is no rate to fit.');
  const fitted = fitCourses(points, model);
  if (!fitted)
    return refuse(
      design.free.length + 1 > points.runs.length ? 'not-identifiable' : 'no-convergence',
      'These runs cannot tell all orders and the rate constant apart, or the fit of all readings did not settle.',
    );
  const orders = design.free.map((_, j) => fitted.fit.shared[1 + j] ?? Number.NaN);
  if (orders.some(isWild))
    return refuse(
      'not-identifiable',
      'All readings together do not follow a rate law in powers of the concentrations: look for readings that are off, or a wrong ceiling.',
    );
  if (fitted.df < 0) return refuse('too-few-readings', 'There are fewer readings than unknowns.');
  return resultOf(points, design, fitted, options);
}

/** From the answer of some of very many runs: each step comes some ten times nearer to that of all. */
const stepsFromSome = 3;

/** What a fit comes to when inputs are moved. */
export interface FollowedFit {
  /** A logarithm, because one step of a fit that hardly tells k can go further than a number reaches. */
  readonly lnK: number;
  readonly orders: Readonly<Record<string, number>>;
}

/**
 * A settled fit, to be followed as inputs are moved: one step of its own normal equations, in which runs that stay the
 * same object cost nothing.
 * @param fit of `runs` with `options`
 * @returns from the moved runs, in the order of `runs`, to k and orders there; null where there is no fit
 */
export function followFit(
  runs: readonly RunData[],
  options: WholeFitOptions,
  fit: WholeFit,
): (moved: readonly RunData[]) => FollowedFit | null {
  const points = wholePoints(runs, options.limiting);
  if (!points.ok) return () => null;
  const design = designOf(points, options);
  const model = modelOf(points, design, options, { near: fit, steps: 1 });
  const place = new Map(points.runs.map(({ run }, r) => [run, r]));
  const mixedS = points.runs.map(({ firstS }, r) => (fit.offsetsS[r]?.value ?? Number.NaN) - firstS);
  const respond = model && courseResponse(points, model, { shared: fit.parameters, mixedS });
  return (moved) => {
    if (!respond) return null;
    const places: number[] = [];
    const changed = moved.filter((run, i) => {
      const at = runs[i] === undefined || runs[i] === run ? undefined : place.get(runs[i]);
      if (at !== undefined) places.push(at);
      return at !== undefined;
    });
    const there = changed.length === 0 ? { ...points, runs: [] } : wholePoints(changed, points.limiting);
    if (!there.ok || there.runs.length !== places.length) return null;
    const change = respond(
      new Map(
        there.runs.map((own, i) => {
          const at = places[i] ?? 0;
          const terms = termsOf(own, design, options);
          return [at, { points: own, course: courseAt(design, options, terms, fit.parameters, mixedS[at] ?? 0) }];
        }),
      ),
    );
    if (!change) return null;
    const values = fit.parameters.map((value, j) => value + (change[j] ?? 0));
    return {
      lnK: lnUnitOf(design, options, values),
      orders: Object.fromEntries(design.free.map((name, j) => [name, values[1 + j] ?? Number.NaN])),
    };
  };
}

/** Which orders are fitted, and the logarithms of the concentrations about their means. */
interface Design {
  readonly species: readonly string[];
  readonly free: readonly string[];
  readonly limiting: string;
  readonly unit: WholePoints['unit'];
  /** By species, mean of ln(mol/L) over the runs. */
  readonly centres: Readonly<Record<string, number>>;
  readonly terms: readonly RunTerms[];
  readonly position: {
    readonly saturation: number | null;
    readonly bend: number | null;
    readonly lag: number | null;
    readonly warming: number | null;
    readonly count: number;
  };
}

/** What a run brings into its course. */
interface RunTerms {
  /** By species, ln(mol/L) less its mean over the runs. */
  readonly logs: Readonly<Record<string, number>>;
  /** ln of (rate of the law over displaced volume per time, times the ceiling). */
  readonly lnScale: number;
  /** Relative growth of the rate by the drift that was called, 1/s. */
  readonly told: number;
  /** The clock of a called drift holds at the run's mean temperature: about the middle of its readings. */
  readonly middleS: number;
}

/** A reagent that nobody stated counts as 1 mol/L in every run: its concentration goes into k. */
const lnOf = (run: RunData, name: string): number =>
  name === unstated ? 0 : Math.log((run.concentrations?.[name]?.value ?? Number.NaN) / 1000);

function designOf(points: WholePoints, options: WholeFitOptions): Design {
  const { runs, limiting } = points;
  const unit = options.unit ?? points.unit;
  const species = [...Object.keys(runs[0]?.run.concentrations ?? {}), ...(limiting === unstated ? [unstated] : [])];
  const centres = Object.fromEntries(
    species.map((name) => [name, runs.reduce((sum, { run }) => sum + lnOf(run, name), 0) / runs.length]),
  );
  const terms = runs.map((own) => termsOf(own, { species, centres, unit }, options));
  const varies = (name: string): boolean => {
    let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const { logs } of terms) {
      least = Math.min(least, logs[name] ?? 0);
      most = Math.max(most, logs[name] ?? 0);
    }
    return most - least > 1e-4;
  };
  const saturating = options.saturationStart !== undefined;
  const free = species.filter(
    (name) =>
      options.fixed?.[name] === undefined && name !== unstated && (name === limiting ? !saturating : varies(name)),
  );
  let count = 1 + free.length;
  const next = (wanted: boolean): number | null => (wanted ? count++ : null);
  const saturation = next(saturating);
  // One unknown for the ceilings of all runs, where they are tied by their amounts.
  const bend = next(runs.some(({ run }) => run.ceilingTiedBy !== undefined));
  const lag = next(options.lagStartS !== undefined);
  const warming = next(options.activationJPerMol !== undefined);
  return { species, free, limiting, unit, centres, terms, position: { saturation, bend, lag, warming, count } };
}

function termsOf(
  { run, ceilingM3, times }: RunPoints,
  { species, centres, unit }: Pick<Design, 'species' | 'centres' | 'unit'>,
  options: WholeFitOptions,
): RunTerms {
  const factor = unit === 'amount' ? (amountPerVolumeRate(run)?.factor ?? Number.NaN) / 1000 : 1;
  return {
    logs: Object.fromEntries(species.map((name) => [name, lnOf(run, name) - (centres[name] ?? 0)])),
    lnScale: Math.log((factor * ceilingM3) / (options.pace?.(run) ?? 1)),
    told: warmingOf(run, options.activationJPerMol ?? 0),
    middleS: times.reduce((sum, t) => sum + t, 0) / times.length,
  };
}

function orderIn({ free }: Design, options: WholeFitOptions, values: readonly number[], name: string): number {
  const j = free.indexOf(name);
  return j >= 0 ? (values[1 + j] ?? 1) : (options.fixed?.[name] ?? (name === unstated ? 1 : 0));
}

/** ln of the starting rate over the ceiling, less the first parameter. */
function lnShapeOf(design: Design, options: WholeFitOptions, terms: RunTerms, values: readonly number[]): number {
  const { position, species, limiting, centres } = design;
  let sum = -terms.lnScale;
  for (const name of species)
    if (name !== limiting || position.saturation === null)
      sum += orderIn(design, options, values, name) * (terms.logs[name] ?? 0);
  if (position.saturation === null) return sum;
  const c = Math.exp((terms.logs[limiting] ?? 0) + (centres[limiting] ?? 0));
  return sum + Math.log(c / (Math.exp(values[position.saturation] ?? 0) + c));
}

/** A run's course at given shared parameters; `mixedS`: its moment of mixing since its first reading, s. */
function courseAt(
  design: Design,
  options: WholeFitOptions,
  terms: RunTerms,
  values: readonly number[],
  mixedS: number,
): Course {
  const { position, limiting, centres } = design;
  const c = Math.exp((terms.logs[limiting] ?? 0) + (centres[limiting] ?? 0));
  const { saturation, bend, lag, warming } = position;
  return {
    pacePerS: Math.exp((values[0] ?? 0) + lnShapeOf(design, options, terms, values)),
    order: orderIn(design, options, values, limiting),
    ...(saturation === null ? {} : { saturation: Math.exp(values[saturation] ?? 0) / c }),
    ...(bend === null ? {} : { bend: values[bend] ?? 1 }),
    ...(lag === null ? {} : { lagS: Math.exp(values[lag] ?? 0) }),
    warmingPerS: terms.told + (warming === null ? 0 : (values[warming] ?? 0)),
    anchorS: terms.told ? terms.middleS - mixedS : 0,
  };
}

/** ln k at unit concentration from the parameters, which hold it in the middle of the design. */
function lnUnitOf(design: Design, options: WholeFitOptions, values: readonly number[]): number {
  let ln = values[0] ?? Number.NaN;
  for (const name of design.species)
    if (name !== design.limiting || design.position.saturation === null)
      ln -= orderIn(design, options, values, name) * (design.centres[name] ?? 0);
  return ln;
}

/** @param from a fit to start from, and how many steps lead from it to the answer; null: start from the data */
function modelOf(
  points: WholePoints,
  design: Design,
  options: WholeFitOptions,
  from: { readonly near: WholeFit; readonly steps: number } | null,
): CourseModel | null {
  const { runs, limiting, spanS } = points;
  const { position, terms } = design;
  const activation = options.activationJPerMol ?? 0;
  const start = [0, ...design.free.map((name) => options.start?.[name] ?? 1)];
  if (position.saturation !== null) start.push(Math.log(options.saturationStart ?? 1));
  if (position.bend !== null) start.push(1);
  if (position.lag !== null) start.push(Math.log(options.lagStartS ?? 1));
  if (position.warming !== null) start.push(0);
  const order = position.saturation === null ? orderIn(design, options, start, limiting) : 0;
  const paces = runs.flatMap((own, run) => {
    const pace = startPace(own, (log) => conversionTime(log, order));
    const brought = terms[run];
    return pace === null || !brought ? [] : [pace - lnShapeOf(design, options, brought, start)];
  });
  if (paces.length === 0) return null;
  start[0] = paces.reduce((a, b) => a + b, 0) / paces.length;
  const near = options.near ? { near: options.near, steps: options.nearSteps ?? 1 } : from;
  if (near) start.splice(0, start.length, ...near.near.parameters);
  return {
    sharedStart: start,
    ...(near ? { steps: near.steps, scale: near.near.scatter.scale } : {}),
    sharedScales: start.map((_, j) => (j === position.warming ? 1 / spanS : 1)),
    precision: start.map((_, j) =>
      j === position.warming
        ? warmingPrecision(
            activation,
            runs.map(({ run }) => run),
            spanS,
          )
        : 0,
    ),
    ownStart: runs.map(() => []),
    ownScales: [],
    courseOf: (values, run) => {
      const own = terms[run];
      if (!own) throw new RangeError('No such run.');
      return courseAt(design, options, own, values, (values.at(-1) ?? 0) * spanS);
    },
  };
}

function resultOf(points: WholePoints, design: Design, fitted: CourseFit, options: WholeFitOptions): WholeFit {
  const { fit, scatter, courses } = fitted;
  const { shared, covariance } = fit;
  const { position, free, centres } = design;
  // ln k at unit concentration: ln k_mid - sum order_j centre_j, with covariance.
  const gradient = shared.map((_, j) => (j === 0 ? 1 : j <= free.length ? -(centres[free[j - 1] ?? ''] ?? 0) : 0));
  let variance = 0;
  covariance.forEach((row, i) => {
    row.forEach((c, j) => {
      variance += (gradient[i] ?? 0) * (gradient[j] ?? 0) * c;
    });
  });
  // Variance of the estimate itself is C - C P C, with P the prior precision: the rest is the prior's.
  const prior = warmingShare(points, design, fitted, options, gradient);
  const lnUnit = lnUnitOf(design, options, shared);
  const u = (j: number): number => Math.sqrt(Math.max(covariance[j]?.[j] ?? 0, 0)) * scatter.scale;
  const figure = (value: number, own: number): FittedFigure => {
    const half = halfWidth95({ u: own, df: scatter.df });
    return { value, u: own, low95: value - half, high95: value + half };
  };
  const positive = (place: number): FittedFigure => {
    const value = Math.exp(shared[place] ?? Number.NaN);
    const half = halfWidth95({ u: u(place), df: scatter.df });
    return { value, u: value * u(place), low95: value * Math.exp(-half), high95: value * Math.exp(half) };
  };
  const lag = position.lag === null ? null : positive(position.lag);
  return {
    ok: true,
    k: Math.exp(lnUnit),
    uRelative: Math.sqrt(Math.max(variance, 0)) * scatter.scale,
    uPrior: prior,
    df: scatter.df,
    orders: Object.fromEntries(free.map((name, j) => [name, figure(shared[1 + j] ?? Number.NaN, u(1 + j))])),
    saturation: position.saturation === null ? null : positive(position.saturation),
    lag: lag && { seconds: lag.value, u: lag.u },
    warming: position.warming === null ? null : { perS: shared[position.warming] ?? 0, u: u(position.warming) },
    scatter,
    aicc: fitted.aicc,
    offsetsS: points.runs.map(({ run, firstS }, r) => ({
      label: run.label,
      value: (fitted.mixed[r]?.value ?? Number.NaN) + firstS,
      u: (fitted.mixed[r]?.u ?? Number.NaN) * scatter.scale,
    })),
    residuals: points.runs.flatMap(({ run, index }, r) =>
      index.map((i, at) => ({ label: run.label, index: i, residualS: fit.states[r]?.residuals[at] ?? Number.NaN })),
    ),
    runs: courses.map((_, r) => points.runs[r]?.run.label ?? ''),
    unit: design.unit,
    parameters: shared,
  };
}

function warmingShare(
  points: WholePoints,
  { position }: Design,
  { fit: { covariance }, scatter }: CourseFit,
  options: WholeFitOptions,
  gradient: readonly number[],
): number {
  if (position.warming === null) return 0;
  const runs = points.runs.map(({ run }) => run);
  const precision = warmingPrecision(options.activationJPerMol ?? 0, runs, points.spanS);
  const row = covariance[position.warming] ?? [];
  const pull = gradient.reduce((sum, g, j) => sum + g * (row[j] ?? 0), 0) * scatter.scale ** 2;
  return Math.abs(pull) * Math.sqrt(precision);
}
