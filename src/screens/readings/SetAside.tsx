import { For } from 'solid-js';
import { Cause } from '../../log/event.ts';
import type { Reading } from '../../log/state.ts';
import { causeTexts } from '../../results/cause-texts.ts';
import { useDesk } from '../desk.tsx';
import { textsOf } from '../texts.ts';
import { readingsTexts as t } from './texts.ts';

const causes = textsOf(causeTexts);
/** One's own judgement first: the others are what the analysis finds. */
const offered = Cause.options.toSorted((a, b) => Number(b === 'own-judgement') - Number(a === 'own-judgement'));

/** Sets a reading aside with its cause: it stays in sight and in the file, and out of the fit. */
export function SetAside(props: { reading: Reading }) {
  const desk = useDesk();
  let cause!: HTMLSelectElement;
  let why!: HTMLInputElement;
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        void desk.record({
          kind: 'set-aside',
          reading: props.reading.id,
          cause: Cause.parse(cause.value),
          why: why.value.trim(),
        });
      }}
    >
      <label>
        {t().because}
        <select ref={cause}>
          <For each={offered}>{(one) => <option value={one}>{causes()[one]}</option>}</For>
        </select>
      </label>
      <label>
        {t().inWords}
        <input ref={why} type="text" maxlength="500" autocomplete="off" />
      </label>
      <button type="submit">{t().setAside}</button>
    </form>
  );
}

export const causeText = (cause: Cause): string => causes()[cause];
