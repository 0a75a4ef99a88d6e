import { createSignal, Show } from 'solid-js';
import { defaultSetup, Setup } from '../../log/setup.ts';
import { useDesk } from '../desk.tsx';
import { createSettled } from '../settled.ts';
import { textsOf } from '../texts.ts';
import { Field } from './Field.tsx';
import { FinePoints } from './FinePoints.tsx';
import { savingTexts } from './saving-texts.ts';
import { altitudeOf, fieldNames, outdoorsOf, type PressureKind, typedSetup } from './typed-setup.ts';

/** Cylinder, marks and conditions. Saves as one types, and says in words what does not fit and is not saved. */
export function SetupForm(props: { onDone?: () => void }) {
  const desk = useDesk();
  const t = textsOf(savingTexts);
  const setup = () => desk.state()?.setup ?? defaultSetup;
  const [trouble, setTrouble] = createSignal('');
  const [pressureKind, setPressureKind] = createSignal<PressureKind>(setup().pressure?.kind ?? 'unknown');

  let form!: HTMLFormElement;

  /** Saves what is typed; false where it does not fit. */
  const save = (): boolean => {
    const typed = new FormData(form);
    const field = (name: string): number | undefined => {
      const text = String(typed.get(name) ?? '').trim();
      return text === '' ? undefined : Number(text.replace(',', '.'));
    };
    const parsed = Setup.safeParse(
      typedSetup(setup(), field, {
        accuracy: String(typed.get('accuracy')),
        pressure: pressureKind(),
        headspaceCounts: typed.has('headspaceCounts'),
      }),
    );
    if (!parsed.success) {
      const at = parsed.error.issues[0]?.path.join(' ') ?? '';
      setTrouble(`Something is missing or out of range: ${fieldNames[at] ?? at}.`);
      return false;
    }
    const { stepMl, spanMl, cylinder } = parsed.data;
    const unfit =
      stepMl < cylinder.divisionMl
        ? 'The marks are closer together than the divisions.'
        : spanMl > cylinder.capacityMl
          ? 'The span does not fit into the cylinder.'
          : '';
    setTrouble(unfit);
    if (unfit !== '') return false;
    if (JSON.stringify(parsed.data) !== JSON.stringify(Setup.parse(setup())))
      void desk.record({ kind: 'set-up', setup: parsed.data }).then(() => desk.announce(t().saved));
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
      <fieldset>
        <legend>Marks and cylinder</legend>
        <div class="row">
          <Field name="stepMl" label="A mark every (mL)" value={setup().stepMl} />
          <Field name="spanMl" label="A run is complete after (mL)" value={setup().spanMl} />
          <Field name="firstMarkMl" label="First mark, if you know it (mL)" value={setup().firstMarkMl} />
          <Field name="capacityMl" label="Cylinder holds (mL)" value={setup().cylinder.capacityMl} />
          <Field name="divisionMl" label="One division is (mL)" value={setup().cylinder.divisionMl} />
          <label>
            Class on the glass
            <select name="accuracy">
              <option value="A" selected={setup().cylinder.accuracy === 'A'}>
                A
              </option>
              <option value="B" selected={setup().cylinder.accuracy === 'B'}>
                B
              </option>
              <option value="unknown" selected={setup().cylinder.accuracy === 'unknown'}>
                not stated
              </option>
            </select>
          </label>
        </div>
      </fieldset>
      <fieldset>
        <legend>Conditions</legend>
        <div class="row">
          <Field name="temperatureC" label="Temperature (°C)" value={setup().temperatureC} />
          <Field name="uTemperatureC" label="give or take (°C)" value={setup().uTemperatureC} />
          <label>
            Air pressure
            <select
              value={pressureKind()}
              onChange={(event) => {
                const value = event.currentTarget.value;
                setPressureKind(value === 'station' || value === 'sea-level' ? value : 'unknown');
              }}
            >
              <option value="unknown">not known</option>
              <option value="station">from a barometer here</option>
              <option value="sea-level">from a weather report (sea level)</option>
            </select>
          </label>
          <Show when={pressureKind() !== 'unknown'}>
            <Field name="hPa" label="Pressure (hPa)" value={setup().pressure?.hPa} />
          </Show>
          <Show when={pressureKind() === 'sea-level'}>
            <Field name="altitudeM" label="Height above the sea (m)" value={altitudeOf(setup())} />
            <Field name="outdoorC" label="Outdoors, if a weather map’s (°C)" value={outdoorsOf(setup())} />
          </Show>
        </div>
        <p class="quiet">
          The temperature holds for every run that has none of its own on the run sheet; one that is called comes before
          both.
        </p>
        <p class="quiet">
          Weather reports give the pressure as if at sea level. At 400 m the true one is some 47 hPa lower, and so are
          the moles of gas by 5 %.
          <Show when={pressureKind() === 'sea-level'}>
            {' '}
            Weather maps use the temperature outdoors (QFF): give it. Airfields and most apps use the standard air
            (QNH): leave it empty.
          </Show>
        </p>
      </fieldset>
      <FinePoints setup={setup()} />
      <Show when={trouble()}>
        <p role="alert" class="problem">
          {trouble()}
        </p>
      </Show>
      <p class="quiet">{t().saves}</p>
      <Show when={props.onDone}>
        <button type="submit" class="primary">
          {t().done}
        </button>
      </Show>
    </form>
  );
}

export default SetupForm;
