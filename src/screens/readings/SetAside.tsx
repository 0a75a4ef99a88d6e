import { Cause } from '../../log/event.ts';
import type { Reading } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { textsOf } from '../texts.ts';
import { causeTexts } from './cause-texts.ts';
import { readingsTexts as t } from './texts.ts';

const causes = textsOf(causeTexts);

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
          <option value="own-judgement">{causes()['own-judgement']}</option>
          <option value="misheard">{causes().misheard}</option>
          <option value="shifted-mark">{causes()['shifted-mark']}</option>
          <option value="late-call">{causes()['late-call']}</option>
          <option value="surge">{causes().surge}</option>
          <option value="slow-down">{causes()['slow-down']}</option>
          <option value="stirring-change">{causes()['stirring-change']}</option>
          <option value="unexplained">{causes().unexplained}</option>
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
