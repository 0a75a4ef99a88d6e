import { Show } from 'solid-js';
import type { Setup } from '../../log/setup.ts';
import { textsOf } from '../texts.ts';
import { Field } from './Field.tsx';
import { setupTexts } from './setup-texts.ts';
import { altitudeOf, outdoorsOf, type PressureKind } from './typed-setup.ts';

const t = textsOf(setupTexts);

/** The cylinder and its marks. */
export function MarkFields(props: { setup: Setup }) {
  return (
    <fieldset>
      <legend>{t().marks}</legend>
      <div class="row">
        <Field name="stepMl" label={t().stepMl} value={props.setup.stepMl} />
        <Field name="spanMl" label={t().spanMl} value={props.setup.spanMl} />
        <Field name="firstMarkMl" label={t().firstMarkMl} value={props.setup.firstMarkMl} />
        <Field name="capacityMl" label={t().capacityMl} value={props.setup.cylinder.capacityMl} />
        <Field name="divisionMl" label={t().divisionMl} value={props.setup.cylinder.divisionMl} />
        <label>
          {t().accuracy}
          <select name="accuracy">
            <option value="A" selected={props.setup.cylinder.accuracy === 'A'}>
              A
            </option>
            <option value="B" selected={props.setup.cylinder.accuracy === 'B'}>
              B
            </option>
            <option value="unknown" selected={props.setup.cylinder.accuracy === 'unknown'}>
              {t().notStated}
            </option>
          </select>
        </label>
      </div>
    </fieldset>
  );
}

/** Temperature and pressure; a pressure reduced to sea level asks for the altitude as well. */
export function ConditionFields(props: {
  setup: Setup;
  withTemperature: boolean;
  pressureKind: PressureKind;
  onPressureKind: (kind: PressureKind) => void;
}) {
  return (
    <fieldset>
      <legend>{t().conditions}</legend>
      <div class="row">
        <Show when={props.withTemperature}>
          <Field name="temperatureC" label={t().temperatureC} value={props.setup.temperatureC} />
          <Field name="uTemperatureC" label={t().uTemperatureC} value={props.setup.uTemperatureC} />
        </Show>
        <label>
          {t().pressure}
          <select
            value={props.pressureKind}
            onChange={(event) => {
              const value = event.currentTarget.value;
              props.onPressureKind(value === 'station' || value === 'sea-level' ? value : 'unknown');
            }}
          >
            <option value="unknown">{t().unknown}</option>
            <option value="station">{t().station}</option>
            <option value="sea-level">{t().seaLevel}</option>
          </select>
        </label>
        <Show when={props.pressureKind !== 'unknown'}>
          <Field name="hPa" label={t().hPa} value={props.setup.pressure?.hPa} />
        </Show>
        <Show when={props.pressureKind === 'sea-level'}>
          <Field name="altitudeM" label={t().altitudeM} value={altitudeOf(props.setup)} />
          <Field name="outdoorC" label={t().outdoorC} value={outdoorsOf(props.setup)} />
        </Show>
      </div>
      <Show when={props.withTemperature}>
        <p class="quiet">{t().temperatureHolds}</p>
      </Show>
      <p class="quiet">
        {t().weatherHint}
        <Show when={props.pressureKind === 'sea-level'}> {t().mapHint}</Show>
      </p>
    </fieldset>
  );
}

/** What carbon dioxide stands on, for it dissolves in water. */
export function DissolvingFields(props: { setup: Setup }) {
  const stated = () => props.setup.dissolving;
  return (
    <fieldset>
      <legend>{t().dissolving}</legend>
      <div class="row">
        <label>
          {t().standsOn}
          <select name="water">
            <option value="" selected={stated()?.water === undefined}>
              {t().notStated}
            </option>
            <option value="fresh" selected={stated()?.water === 'fresh'}>
              {t().freshWater}
            </option>
            <option value="saturated" selected={stated()?.water === 'saturated'}>
              {t().saturatedWater}
            </option>
            <option value="none" selected={stated()?.water === 'none'}>
              {t().noWater}
            </option>
          </select>
        </label>
        <Field name="waterMl" label={t().waterMl} value={stated()?.waterMl} />
      </div>
      <p class="quiet">{t().dissolvingHint}</p>
    </fieldset>
  );
}
