import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { OrderEstimate, RateLaw } from '../analysis/rate-law.ts';
import { figureText, plainNumber, roundByUncertainty } from './round-by-uncertainty.ts';
import { speciesText } from './species.ts';

/** Beyond this no order of a simple rate law lies (three particles that meet at once are rare already). */
const largestOrder = 3;
/** An order that is uncertain by more than this says little about the reaction. */
const hardlyKnown = 0.7;
/** A concentration that changes by less than this factor between the runs makes large orders of small errors. */
const smallChange = 1.4;

/** Whether there are just as many runs as orders and k: the law then goes through all of them, whatever it is. */
export function nothingLeftOver(law: RateLaw): boolean {
  return law.used.length > 0 && law.residuals.length - parametersOf(law) <= 0;
}

/** Orders in the fit, those of species that cannot be told apart included, and k. */
function parametersOf({ orders, problems }: RateLaw): number {
  const confounded = problems.filter(({ kind }) => kind !== 'constant').length;
  return Object.keys(orders).length + (confounded > 0 ? 1 : 0) + 1;
}

/** What must be said of a rate law beside its figures: orders that nobody should believe, and whether anything checks it. */
export function lawRemarks({ law, whole }: ExperimentAnalysis): string[] {
  if (!law.ok) return [];
  const remarks = Object.entries(law.orders).flatMap(([species, order]) => remarkOn(law, species, order) ?? []);
  for (const [species, { accepted }] of Object.entries(law.orders)) {
    const other = whole.ok ? whole.orders[species] : undefined;
    if (accepted === null || !other || (accepted >= other.low95 && accepted <= other.high95)) continue;
    remarks.push(
      `The two ways do not agree on the order in ${speciesText(species)}: all readings at once give ${figureText(roundByUncertainty(other.value, other.u))}, and ${plainNumber(accepted)}, accepted from the starting rates, lies outside their 95 % interval. Look for a reading or a run that is off before k is used.`,
    );
  }
  const orders = Object.keys(law.orders).length;
  if (orders > 0 && nothingLeftOver(law))
    remarks.push(
      `${law.used.length} runs for ${orders === 1 ? 'one order' : `${orders} orders`} and k: nothing is left over to check the law against. ${law.accepted ? `That the runs give nearly the same k follows from how the ${orders === 1 ? 'order was' : 'orders were'} found. ` : ''}One run more, or a repeat of one, would be a check.`,
    );
  return remarks;
}

/** Why a law has no k, where an order is none that could be accepted; null otherwise. */
export function whyNoOrders(law: RateLaw): string | null {
  const open = Object.keys(law.orders).filter((species) => law.orders[species]?.accepted === null);
  return open.length === 0
    ? null
    : `The order in ${open.map(speciesText).join(' and in ')} is no whole or half number within its uncertainty, so no k is stated: look for a run that differs, or for a rate law of another form.`;
}

function remarkOn(law: RateLaw, species: string, order: OrderEstimate): string | null {
  const name = speciesText(species);
  const absurd = Math.abs(order.value) > largestOrder;
  if (!absurd && !(order.u > hardlyKnown)) return null;
  const said = absurd
    ? `An order of ${plainNumber(Number(order.value.toPrecision(2)))} in ${name} is not to be believed: simple rate laws have none beyond ${largestOrder}.`
    : `The order in ${name} is hardly known: ${figureText(roundByUncertainty(order.value, order.u))}.`;
  const concentrations = law.used.map((row) => row.concentrations[species]?.value ?? Number.NaN);
  const factor = Math.max(...concentrations) / Math.min(...concentrations);
  const cause =
    factor < smallChange
      ? `[${name}] changed between the runs by a factor of only ${factor.toPrecision(3)}, which makes a large error of the order out of a small one of a rate: double it in one run.`
      : absurd
        ? 'Likely a rate is off, or a strength or a volume on the run sheet is wrong: look for a run that is unlike what was planned.'
        : 'The rates of the runs are too uncertain to tell it: more readings in a run, or a larger change of the concentration, would.';
  return `${said} ${cause}`;
}
