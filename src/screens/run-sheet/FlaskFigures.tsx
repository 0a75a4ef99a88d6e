import { For, Show } from 'solid-js';
import { type FlaskAdvice, inMinutes } from '../../planning/plan-advice.ts';
import { withU } from '../../planning/plan-mixture.ts';

/** What follows from the volumes of one run: concentrations, rate, duration. */
export function FlaskFigures(props: { flask: FlaskAdvice }) {
  return (
    <div class="computed">
      <p>
        {props.flask.totalMl.toFixed(props.flask.totalMl < 100 ? 1 : 0)} mL in all
        <For each={props.flask.species}>
          {(entry) => `, ${entry.name} ${withU(entry.molPerL, entry.uMolPerL)} mol/L`}
        </For>
      </p>
      <Show when={props.flask.course}>
        {(course) => (
          <p>
            starts at {course().rateMlPerS.toPrecision(2)} mL/s;{' '}
            <Show when={course().spanS} fallback={<>the span is never reached</>}>
              {(seconds) => <>about {inMinutes(seconds())} to the end of the span</>}
            </Show>
            , {Math.round(course().conversion * 100)} % conversion; {Math.round(course().ceilingMl)} mL of gas in all
          </p>
        )}
      </Show>
    </div>
  );
}
