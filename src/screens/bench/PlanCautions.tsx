import { createMemo } from 'solid-js';
import type { Plan } from '../../log/plan.ts';
import { cautionsOf } from '../../planning/plan-mixture.ts';
import { Cautions } from './Cautions.tsx';

/** The cautions of what the run sheet mixes, as they stand there. */
export function PlanCautions(props: { plan: Plan }) {
  const sentences = createMemo(() => cautionsOf(props.plan).map(({ sentence }) => sentence));
  return <Cautions sentences={sentences()} />;
}

export default PlanCautions;
