import type { PageLanguage } from '../../language/page-language.ts';
import type { EventBody } from '../../log/event.ts';
import { Setup } from '../../log/setup.ts';
import type { NotebookState } from '../../log/state.ts';
import { type InputKind, implausible } from '../../planning/plausible-input.ts';
import { texts } from './texts.ts';

type Answer = { readonly events: readonly EventBody[] } | { readonly sentence: string };

/**
 * The events that what was typed makes, or what is wrong with it, with the slip of the unit that it looks like. Empty
 * fields stay unknown.
 *
 * @param weather the pressure is that of a weather report, reduced to sea level
 */
export function conditionsTyped(
  state: NotebookState,
  stocks: readonly { readonly id: string }[],
  typed: Pick<FormData, 'get'>,
  weather: boolean,
  language: PageLanguage,
): Answer {
  const t = texts[language];
  const text = (name: string): string => String(typed.get(name) ?? '').trim();
  const number = (name: string): number | undefined =>
    text(name) === '' ? undefined : Number(text(name).replace(',', '.'));
  const [hPa, altitudeM, temperatureC] = [number('hPa'), number('altitude'), number('temperature')];
  const figures: readonly (readonly [InputKind, number | undefined])[] = [
    ['pressureHPa', hPa],
    ['temperatureC', temperatureC],
    ...stocks.map(({ id }) => ['molarity', number(id)] as const),
  ];
  for (const [kind, value] of figures) {
    if (value === undefined) continue;
    const sentence = Number.isFinite(value) ? implausible(kind, value, language) : t.notANumber;
    if (sentence !== null) return { sentence };
  }
  let { setup } = state;
  if (temperatureC !== undefined) setup = { ...setup, temperatureC };
  if (hPa !== undefined) {
    const pressure = weather ? { kind: 'sea-level', hPa, altitudeM } : { kind: 'station', hPa };
    const parsed = Setup.safeParse({ ...setup, pressure });
    if (!parsed.success) return { sentence: t.seaLevel };
    setup = parsed.data;
  }
  const events: EventBody[] = setup === state.setup ? [] : [{ kind: 'set-up', setup }];
  const strengths = new Map(stocks.flatMap(({ id }) => (text(id) === '' ? [] : [[id, number(id) ?? 0]])));
  if ([...strengths.values()].some((value) => !(value > 0))) return { sentence: t.wrongStrength };
  const { plan } = state;
  if (plan && strengths.size > 0)
    events.push({
      kind: 'planned',
      plan: {
        ...plan,
        stocks: plan.stocks.map((stock) => {
          const value = strengths.get(stock.id);
          return value === undefined ? stock : { ...stock, strength: { ...stock.strength, value, unit: 'mol/L' } };
        }),
      },
    });
  return events.length === 0 ? { sentence: t.nothing } : { events };
}
