import { createMemo, createSignal, For, Show } from 'solid-js';
import {
  classForest,
  classResult,
  classTable,
  namesakesOf,
  namesOf,
  pooledTable,
  quantitiesOf,
} from '../../class/class-result.ts';
import { forestSvg } from '../../class/forest-svg.ts';
import { PictureView } from '../report/PlotView.tsx';
import '../report/report.css';
import { TableView } from '../table/TableView.tsx';
import { BringIn } from './BringIn.tsx';
import './class.css';
import { ClassWays } from './ClassWays.tsx';
import { classList } from './class-list.ts';
import { GroupList } from './GroupList.tsx';

/** Many notebooks side by side: what they found, combined, and who stands out. */
export function Class() {
  const [wanted, setWanted] = createSignal<string | null>(null);
  const [anonymous, setAnonymous] = createSignal(false);
  const entries = classList.entries;
  const quantities = createMemo(() => quantitiesOf(entries()));
  const quantity = (): string => {
    const own = wanted();
    return own !== null && quantities().includes(own) ? own : (quantities()[0] ?? 'k');
  };
  const names = createMemo(() => namesOf(entries(), anonymous()));
  const result = createMemo(() => classResult(entries(), quantity()));
  const out = () => result().rows.filter((row) => row.standsOut);
  return (
    <>
      <h1>Class</h1>
      <p class="no-print">
        Results of many groups side by side: each group’s notebook, archive or link. They are read here in the page and
        sent nowhere; nothing is kept when the page closes.
      </p>
      <BringIn />
      <Show when={entries().length > 0}>
        <div class="row no-print">
          <label>
            Compare
            <select value={quantity()} onChange={(event) => setWanted(event.currentTarget.value)}>
              <For each={quantities()}>{(name) => <option value={name}>{name}</option>}</For>
            </select>
          </label>
          <label class="beside">
            <input
              type="checkbox"
              checked={anonymous()}
              onChange={(event) => setAnonymous(event.currentTarget.checked)}
            />
            Numbers in place of names
          </label>
          <button type="button" onClick={classList.clear}>
            Empty the class
          </button>
        </div>
        <Show when={!anonymous() && namesakesOf(entries()).length > 0}>
          <p class="quiet">
            Some groups have the same name and are different notebooks; they are numbered in the order in which they
            came: {namesakesOf(entries()).slice(0, 20).join(', ')}.
          </p>
        </Show>
        <Show when={result().rows.length > 0} fallback={<NothingToCompare />}>
          <ClassWays table={classTable(result(), names())} pooled={pooledTable(result())} />
          <h2>Combined</h2>
          <div class="combined">
            <TableView table={pooledTable(result())} />
          </div>
          <h2>
            {result().rows.length} {result().rows.length === 1 ? 'group' : 'groups'}
          </h2>
          <GroupList result={result()} names={names()} />
        </Show>
        <Show when={out().length > 0}>
          <h2>Standing out</h2>
          <ul>
            <For each={out().slice(0, 100)}>
              {(row) => (
                <li>
                  <strong>{names().get(row.entry.id)}</strong>: {row.differences.join('; ')}.
                </li>
              )}
            </For>
          </ul>
        </Show>
        <Show when={result().apart.length > 0}>
          <h2>Not combined</h2>
          <ul>
            <For each={result().apart.slice(0, 100)}>
              {({ entry, why }) => (
                <li>
                  <strong>{names().get(entry.id)}</strong>: {why}
                </li>
              )}
            </For>
          </ul>
        </Show>
        <Show when={result().rows.length > 0}>
          <div class="forest">
            <PictureView title={`Forest of ${quantity()}`} drawing={forestSvg(classForest(result(), names()))} />
          </div>
          <p class="quiet">
            Bars reach two standard uncertainties either way; a ring with a stroke and a ▸ stand out: more than three
            times what the class scatters. Diamonds are the combined values.
          </p>
        </Show>
      </Show>
    </>
  );
}

/** Groups there are, and none of them has anything to compare. */
function NothingToCompare() {
  return (
    <div>
      <p>No group has a result to compare yet; what each lacks is said below.</p>
      <p>
        A notebook brings a k and orders when it has a run sheet (strengths of the solutions, volumes of each run) and
        runs with readings: one run more than there are reagents, each reagent changed at least once without the others.
        A temperature and an air pressure make the k one in mol and L.
      </p>
    </div>
  );
}

export default Class;
