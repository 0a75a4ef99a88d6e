import { OutOfRange } from './errors.ts';
import { nth } from './nth.ts';

export interface Input {
  readonly name: string;
  readonly value: number;
  /** Standard uncertainty, unit of the value, >= 0. */
  readonly u: number;
  /** Behind `u`; absent: endless (known). */
  readonly degreesOfFreedom?: number;
}

/** Correlation coefficient of two inputs, by name. */
export interface Correlation {
  readonly between: readonly [string, string];
  readonly coefficient: number;
}

export interface BudgetLine {
  readonly name: string;
  /** d(result)/d(input) */
  readonly sensitivity: number;
  /** |sensitivity| * u, unit of the result. */
  readonly contribution: number;
  /**
   * Share of the variance of the result, sums to 1 over the budget; with correlated inputs half of each common term
   * goes to either, so a share may be below zero.
   */
  readonly share: number;
}

export interface Propagated {
  readonly value: number;
  /** Combined standard uncertainty. */
  readonly u: number;
  /** Welch-Satterthwaite, Infinity when every input is known. Inputs that are correlated are taken as known. */
  readonly effectiveDegreesOfFreedom: number;
  readonly budget: readonly BudgetLine[];
}

export interface PropagateOptions {
  readonly correlations?: readonly Correlation[];
  /** d(result)/d(input) in the order of the inputs. Default: central differences over one u either way. */
  readonly derivatives?: readonly number[];
}

/**
 * Carries the uncertainty of the inputs to the result, to first order (law of propagation of uncertainty).
 *
 * @param inputs values with standard uncertainties
 * @param model result from the values of the inputs, in their order; must be finite near them
 * @throws OutOfRange when the model gives no number, an uncertainty is negative, or a correlation names no input
 * Source: JCGM 100:2008 (GUM) 5.1.2, 5.2.2, G.4. Check: annex H.1, test/published/gum.test.ts.
 * @example
 * const volume = { name: 'volume', value: 20, u: 0.2 };
 * const time = { name: 'time', value: 100, u: 0.5 };
 * propagate([volume, time], ([v, t]) => v / t).u // => 0.002236
 */
export function propagate(
  inputs: readonly Input[],
  model: (values: readonly number[]) => number,
  options: PropagateOptions = {},
): Propagated {
  const values = inputs.map((input) => input.value);
  const value = model(values);
  if (!Number.isFinite(value)) throw new OutOfRange('These values give no result.', `${value}`);
  for (const input of inputs) {
    if (!(input.u >= 0)) throw new OutOfRange('An uncertainty cannot be negative.', `${input.name}: ${input.u}`);
  }
  const sensitivities = options.derivatives ?? inputs.map((input, i) => sensitivity(model, values, i, input));
  const parts = inputs.map((input, i) => nth(sensitivities, i) * input.u);

  const variances = parts.map((part) => part * part);
  const correlated = new Set<number>();
  for (const { between, coefficient } of options.correlations ?? []) {
    const [a, b] = between.map((name) => inputs.findIndex((input) => input.name === name)) as [number, number];
    if (a < 0 || b < 0 || a === b) throw new OutOfRange('A correlation names an unknown input.', between.join(', '));
    if (!(Math.abs(coefficient) <= 1)) throw new OutOfRange('A correlation lies between -1 and 1.', `${coefficient}`);
    const common = coefficient * nth(parts, a) * nth(parts, b);
    variances[a] = nth(variances, a) + common;
    variances[b] = nth(variances, b) + common;
    if (coefficient !== 0) correlated.add(a).add(b);
  }
  const variance = Math.max(
    0,
    variances.reduce((sum, part) => sum + part, 0),
  );
  const u = Math.sqrt(variance);
  let satterthwaite = 0;
  for (let i = 0; i < inputs.length; i++) {
    const df = nth(inputs, i).degreesOfFreedom;
    if (df === undefined || df === Number.POSITIVE_INFINITY || correlated.has(i) || u === 0) continue;
    if (!(df > 0)) throw new OutOfRange('Degrees of freedom must be above zero.', `${nth(inputs, i).name}: ${df}`);
    satterthwaite += (nth(parts, i) / u) ** 4 / df;
  }
  return {
    value,
    u,
    effectiveDegreesOfFreedom: satterthwaite > 0 ? 1 / satterthwaite : Number.POSITIVE_INFINITY,
    budget: inputs.map((input, i) => ({
      name: input.name,
      sensitivity: nth(sensitivities, i),
      contribution: Math.abs(nth(parts, i)),
      share: variance > 0 ? nth(variances, i) / variance : 0,
    })),
  };
}

/** Central difference over one standard uncertainty: that is the range over which the straight line has to hold. */
function sensitivity(
  model: (values: readonly number[]) => number,
  values: readonly number[],
  index: number,
  input: Input,
): number {
  if (input.u === 0) return 0;
  const at = (value: number): number => model(values.map((other, i) => (i === index ? value : other)));
  const up = at(input.value + input.u);
  const down = at(input.value - input.u);
  if (!Number.isFinite(up) || !Number.isFinite(down)) {
    throw new OutOfRange('Within the stated uncertainty there are values that give no result.', input.name);
  }
  return (up - down) / (2 * input.u);
}
