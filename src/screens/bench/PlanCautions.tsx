import { createMemo } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import { cautionsOf, cautionText } from '../../planning/plan-mixture.ts';
import { pageLanguage } from '../texts.ts';
import { Cautions } from './Cautions.tsx';

/** The cautions of what the run sheet mixes, as they stand there. */
export function PlanCautions(props: { plan: Plan }) {
  const sentences = createMemo(() => cautionsOf(props.plan).map((caution) => cautionText(caution, pageLanguage())));
  return <Cautions sentences={sentences()} />;
}

export default PlanCautions;
