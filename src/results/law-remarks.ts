import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { isWild, type OrderEstimate, wildOrder } from '../analysis/judge-order.ts';
import type { RateLaw } from '../analysis/rate-law.ts';
import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { figureText, plainNumber, roundByUncertainty } from './round-by-uncertainty.ts';
import { speciesText } from './species.ts';
import { resultTexts } from './texts.ts';

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

/** Remarks on a rate law: implausible orders, and whether anything checks it. */
export function lawRemarks({ law, whole }: ExperimentAnalysis, language: PageLanguage = 'en'): string[] {
  if (!law.ok) return [];
  const t = resultTexts[language].law;
  const remarks = Object.entries(law.orders).flatMap(([species, order]) => remarkOn(law, species, order, language));
  for (const [species, { accepted }] of Object.entries(law.orders)) {
    const other = whole.ok ? whole.orders[species] : undefined;
    if (accepted === null || !other || (accepted >= other.low95 && accepted <= other.high95)) continue;
    remarks.push(
      t.twoWays(speciesText(species), figureText(roundByUncertainty(other.value, other.u)), plainNumber(accepted)),
    );
  }
  const orders = Object.keys(law.orders).length;
  if (orders > 0 && nothingLeftOver(law)) remarks.push(t.nothingLeft(law.used.length, orders, law.accepted !== null));
  return remarks.map((remark) => numbersIn(language, remark));
}

/** Why a law has no k: an order that is neither whole nor half. Null otherwise. */
export function whyNoOrders(law: RateLaw, language: PageLanguage = 'en'): string | null {
  const open = Object.keys(law.orders).filter((species) => law.orders[species]?.accepted === null);
  return open.length === 0 ? null : resultTexts[language].law.openOrders(open.map(speciesText));
}

function remarkOn(law: RateLaw, species: string, order: OrderEstimate, language: PageLanguage): string[] {
  const t = resultTexts[language].law;
  const name = speciesText(species);
  const absurd = isWild(order.value);
  if (!absurd && !(order.u > hardlyKnown)) return [];
  const said = absurd
    ? t.absurd(name, plainNumber(Number(order.value.toPrecision(2))), wildOrder)
    : t.hardlyKnown(name, figureText(roundByUncertainty(order.value, order.u)));
  const concentrations = law.used.map((row) => row.concentrations[species]?.value ?? Number.NaN);
  const factor = Math.max(...concentrations) / Math.min(...concentrations);
  const cause =
    factor < smallChange ? t.smallChange(name, factor.toPrecision(3)) : absurd ? t.wrongInput : t.tooUncertain;
  return [`${said} ${cause}`];
}
