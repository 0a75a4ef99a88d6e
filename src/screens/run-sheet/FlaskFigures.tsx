import { Show } from 'solid-js';
import { type FlaskAdvice, inMinutes } from '../../planning/plan-advice.ts';
import { withU } from '../../planning/plan-mixture.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** What follows from the volumes of one run: concentrations, rate, duration. */
export function FlaskFigures(props: { flask: FlaskAdvice }) {
  const t = textsOf(texts);
  const solidGives = (): string => {
    const { solids, species, ceiling, mixture } = props.flask;
    const all = [...solids, ...species];
    const first = all.find(({ key }) => key === mixture?.limiting)?.name ?? mixture?.limiting ?? '';
    return t().solidGives(
      solids.map(
        ({ name, mol, massG, uMassG }) => `${withU(massG, uMassG)} g ${name} (${(mol * 1000).toPrecision(3)} mmol)`,
      ),
      first,
      ceiling ? String(Math.round(ceiling.volumeMl)) : null,
    );
  };
  return (
    <div class="computed">
      <p>
        {t().inAll(
          props.flask.totalMl.toFixed(props.flask.totalMl < 100 ? 1 : 0),
          props.flask.species.map((entry) => `${entry.name} ${withU(entry.molPerL, entry.uMolPerL)} mol/L`),
        )}
      </p>
      <Show when={props.flask.solids.length > 0}>
        <p>{solidGives()}</p>
      </Show>
      <Show when={props.flask.course}>
        {(course) => (
          <p>
            {t().course(
              course().rateMlPerS.toPrecision(2),
              course().spanS ? inMinutes(course().spanS ?? 0) : null,
              Math.round(course().conversion * 100),
              Math.round(course().ceilingMl),
            )}
          </p>
        )}
      </Show>
    </div>
  );
}
