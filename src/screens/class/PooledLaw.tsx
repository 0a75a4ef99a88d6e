import { createMemo, For, Show } from 'solid-js';
import type { ClassEntry } from '../../class/class-entry.ts';
import { type ClassResult, pooledLaw } from '../../class/class-result.ts';
import { classTexts } from '../../class/class-texts.ts';

import { constantOf, lawText } from '../../results/rate-table.ts';
import { figureText, roundByUncertainty } from '../../results/round-by-uncertainty.ts';
import { speciesText } from '../../results/species.ts';
import { Marked } from '../table/Marked.tsx';
import { local, pageLanguage } from '../texts.ts';

import { classScreenTexts as t } from './texts.ts';

/** The runs of all groups as one experiment: its orders and its k. */
export function PooledLaw(props: {
  entries: readonly ClassEntry[];
  result: ClassResult;
  names: ReadonlyMap<string, string>;
}) {
  const pooled = createMemo(() => pooledLaw(props.entries, props.result, props.names));
  const law = () => {
    const found = pooled()?.law;
    return found?.ok ? found : null;
  };
  const figure = (value: number, u: number | null): string =>
    local(figureText(roundByUncertainty(value, u ?? undefined)));
  return (
    <Show when={law()} fallback={<p>{t().noLaw}</p>}>
      {(found) => {
        const k = () => constantOf(found(), props.result.kind?.unit === 'volume' ? 'volume' : 'amount');
        return (
          <>
            <p>{t().lawIs(pooled()?.runs ?? 0, pooled()?.groups ?? 0)}</p>
            <p class="law">
              <Marked text={classTexts[pageLanguage()].law(lawText(found()) ?? '–')} />
            </p>
            <ul>
              <For each={Object.entries(found().orders)}>
                {([species, order]) => (
                  <li>
                    <Marked text={t().order(speciesText(species), figure(order.value, order.u))} />
                  </li>
                )}
              </For>
              <Show when={k() && found().accepted}>
                {(accepted) => (
                  <li>
                    <Marked
                      text={`k = ${figure(accepted().k * (k()?.factor ?? 1), (accepted().u ?? 0) * (k()?.factor ?? 1))} ${k()?.unit.printed ?? ''}`}
                    />
                  </li>
                )}
              </Show>
            </ul>
          </>
        );
      }}
    </Show>
  );
}
