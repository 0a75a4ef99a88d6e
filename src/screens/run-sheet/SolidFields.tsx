import type { PlannedRun, WeighedSolid } from '../../log/plan.ts';
import { textsOf } from '../texts.ts';
import { NumberField } from './NumberField.tsx';
import { setSolid } from './plan-edits.ts';
import { texts } from './texts.ts';

type Figure = Exclude<keyof WeighedSolid, 'species' | 'pieces'>;

/** What a run gets of one solid: its mass; folded, a ribbon by its length, and what the pieces are like. */
export function SolidFields(props: {
  species: string;
  /** In the page's language. */
  name: string;
  run: PlannedRun;
  onChange: (next: (run: PlannedRun) => PlannedRun) => void;
}) {
  const t = textsOf(texts);
  const stated = (): Partial<WeighedSolid> =>
    (props.run.solids ?? []).find((solid) => solid.species === props.species) ?? {};
  const most = (figure: Figure): number => (figure.endsWith('Percent') ? 100 : 1000);
  const field = (figure: Figure, label: string, unit: string) => (
    <NumberField
      label={label}
      unit={unit}
      positive
      optional
      max={most(figure)}
      {...(figure === 'purityPercent' ? { kind: 'purityPercent' as const } : {})}
      value={stated()[figure]}
      onCommit={(value) => props.onChange((run) => setSolid(run, props.species, { [figure]: value }))}
    />
  );
  return (
    <>
      <div class="row">
        {field('massG', t().massOf(props.name), 'g')}
        {field('uMassG', t().giveOrTake(t().massOf(props.name)), 'g')}
        {field('purityPercent', t().purityOf(props.name), '%')}
        {field('uPurityPercent', t().giveOrTake(t().purityOf(props.name)), '%')}
      </div>
      <details>
        <summary>{t().orByLength(props.name)}</summary>
        <p class="quiet">{t().piecesHint}</p>
        <div class="row">
          {field('lengthCm', t().lengthOf(props.name), 'cm')}
          {field('uLengthCm', t().giveOrTake(t().lengthOf(props.name)), 'cm')}
          {field('gPerM', t().massPerLength, 'g')}
          {field('uGPerM', t().giveOrTake(t().massPerLength), 'g')}
          <label class="broad">
            {t().pieces}
            <input
              type="text"
              maxlength="80"
              autocomplete="off"
              value={stated().pieces ?? ''}
              onChange={(event) => {
                const pieces = event.currentTarget.value.trim();
                props.onChange((run) => setSolid(run, props.species, { pieces: pieces === '' ? undefined : pieces }));
              }}
            />
          </label>
        </div>
      </details>
    </>
  );
}
