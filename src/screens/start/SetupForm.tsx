import { createMemo, createSignal, Show } from 'solid-js';
import { reactionOf } from '../../chemistry/reactions.ts';
import { defaultSetup, Setup } from '../../log/setup.ts';
import { useDesk } from '../desk.tsx';
import { createSettled } from '../settled.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { FinePoints } from './FinePoints.tsx';
import { ConditionFields, DissolvingFields, MarkFields } from './SetupFields.tsx';
import { savingTexts } from './saving-texts.ts';
import { setupTexts } from './setup-texts.ts';
import { implausibleSetup, type PressureKind, typedSetup } from './typed-setup.ts';

/** Cylinder, marks and conditions. Saves as one types, and says in words what does not fit and is not saved. */
export function SetupForm(props: {
  onDone?: () => void;
  /** The temperature has its place elsewhere on the screen. */
  withoutTemperature?: boolean;
}) {
  const desk = useDesk();
  const saving = textsOf(savingTexts);
  const t = textsOf(setupTexts);
  const setup = () => desk.state()?.setup ?? defaultSetup;
  const [trouble, setTrouble] = createSignal('');
  const [pressureKind, setPressureKind] = createSignal<PressureKind>(setup().pressure?.kind ?? 'unknown');

  const dissolves = createMemo(() => {
    const plan = desk.state()?.plan;
    return setup().dissolving !== undefined || (plan && reactionOf(plan.reaction, plan.own)?.gas === 'CO2');
  });

  let form!: HTMLFormElement;

  /** Saves what is typed; false where it does not fit. */
  const save = (): boolean => {
    const typed = new FormData(form);
    const field = (name: string): number | undefined => {
      const text = String(typed.get(name) ?? '').trim();
      return text === '' ? undefined : Number(text.replace(',', '.'));
    };
    const slip = implausibleSetup(field, pageLanguage());
    if (slip !== null) {
      setTrouble(slip);
      return false;
    }
    const parsed = Setup.safeParse(
      typedSetup(setup(), field, {
        accuracy: String(typed.get('accuracy')),
        pressure: pressureKind(),
        headspaceCounts: typed.has('headspaceCounts'),
        withoutTemperature: props.withoutTemperature === true,
        water: typed.has('water') ? String(typed.get('water')) : null,
      }),
    );
    if (!parsed.success) {
      const at = parsed.error.issues[0]?.path.join(' ') ?? '';
      setTrouble(t().refused(t().fields[at] ?? at));
      return false;
    }
    const { stepMl, spanMl, cylinder } = parsed.data;
    const unfit =
      stepMl < cylinder.divisionMl ? t().marksTooClose : spanMl > cylinder.capacityMl ? t().spanTooLong : '';
    setTrouble(unfit);
    if (unfit !== '') return false;
    if (JSON.stringify(parsed.data) !== JSON.stringify(Setup.parse(setup())))
      void desk.record({ kind: 'set-up', setup: parsed.data }).then(() => desk.announce(saving().saved));
    return true;
  };
  const settled = createSettled(() => void save());

  return (
    <form
      ref={form}
      class="setup"
      onInput={settled.touch}
      onFocusOut={settled.flush}
      onSubmit={(event) => {
        event.preventDefault();
        if (save()) props.onDone?.();
      }}
    >
      <MarkFields setup={setup()} />
      <ConditionFields
        setup={setup()}
        withTemperature={!props.withoutTemperature}
        pressureKind={pressureKind()}
        onPressureKind={setPressureKind}
      />
      <Show when={dissolves()}>
        <DissolvingFields setup={setup()} />
      </Show>
      <FinePoints setup={setup()} />
      <Show when={trouble()}>
        <p role="alert" class="problem">
          {trouble()}
        </p>
      </Show>
      <p class="quiet">{saving().saves}</p>
      <Show when={props.onDone}>
        <button type="submit" class="primary">
          {saving().done}
        </button>
      </Show>
    </form>
  );
}

export default SetupForm;
