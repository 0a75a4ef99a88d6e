import type { CautionMoment } from '../chemistry/caution.ts';
import { generalCautions } from '../chemistry/cautions.ts';
import type { Plan } from '../log/plan.ts';
import type { ChecklistReaction } from './checklist.ts';
import { cautionsOf, cautionText, gasOf } from './plan-mixture.ts';

const gasNames = { O2: 'oxygen', H2: 'hydrogen', CO2: 'carbon dioxide', N2: 'nitrogen', other: 'gas' } as const;

/**
 * What the checklist has to know of the plan's reaction: its gas by name, and the cautions that its bottles and its
 * gas call for, by the moment at which they matter. Those of every gas collection are in the checklist's own steps.
 */
export function checklistReactionOf(plan: Plan, language = 'en'): ChecklistReaction {
  const own = cautionsOf(plan).filter(
    (caution) => !generalCautions.some((general) => general.sentence === caution.sentence),
  );
  const of = (when: CautionMoment): string[] =>
    own.filter((caution) => caution.when === when).map((caution) => cautionText(caution, language));
  return {
    gas: gasNames[gasOf(plan)],
    always: of('always'),
    pouring: of('pouring'),
    running: of('running'),
    cleaning: of('cleaning'),
  };
}
