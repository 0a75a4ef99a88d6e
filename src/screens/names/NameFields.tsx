import { createSignal, createUniqueId, For, onMount, Show } from 'solid-js';
import type { EventBody } from '../../log/event.ts';
import { useDesk } from '../desk.tsx';
import { createSettled, showStored } from '../settled.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** Name of the notebook, group and members; saved as one types. */
export function NameFields() {
  const desk = useDesk();
  const t = textsOf(texts);
  const list = createUniqueId();
  const [wrong, setWrong] = createSignal(false);
  let title!: HTMLInputElement;
  let group!: HTMLInputElement;
  let members!: HTMLInputElement;
  showStored(
    () => title,
    () => desk.state()?.title ?? '',
  );
  showStored(
    () => group,
    () => desk.state()?.group ?? '',
  );
  showStored(
    () => members,
    () => desk.state()?.members ?? '',
  );
  const save = (): void => {
    const state = desk.state();
    if (!state) return;
    const now = { title: title.value.trim(), group: group.value.trim(), members: members.value.trim() };
    const tooLong = now.title.length > 200 || now.group.length > 80 || now.members.length > 400;
    setWrong(tooLong);
    if (tooLong) return;
    const bodies: EventBody[] = [];
    if (now.title !== state.title && now.title !== '') bodies.push({ kind: 'titled', title: now.title });
    if (now.group !== state.group) bodies.push({ kind: 'grouped', group: now.group });
    if (now.members !== state.members) bodies.push({ kind: 'members-named', members: now.members });
    if (bodies.length > 0) void desk.record(...bodies).then(() => desk.announce(t().saved));
  };
  const settled = createSettled(save);
  onMount(() => title.focus());
  return (
    <form
      class="name-fields"
      onInput={settled.touch}
      onFocusOut={settled.flush}
      onSubmit={(event) => {
        event.preventDefault();
        settled.flush();
      }}
    >
      <label>
        {t().title}
        <input name="title" autocomplete="off" ref={title} />
      </label>
      <label>
        {t().group}
        <input name="group" autocomplete="off" list={list} ref={group} />
      </label>
      <datalist id={list}>
        <For each={desk.state()?.classPlan.groups ?? []}>{(name) => <option value={name} />}</For>
      </datalist>
      <label>
        {t().members}
        <input name="members" autocomplete="off" ref={members} />
      </label>
      <p class="quiet">{t().private}</p>
      <Show when={wrong()}>
        <p class="wrong" role="alert">
          {t().tooLong}
        </p>
      </Show>
    </form>
  );
}
