import type { Plan } from '../notebook/plan.ts';
import type { ChecklistReaction } from './checklist.ts';

const gasNames: Readonly<Record<string, string>> = {
  O2: 'oxygen',
  H2: 'hydrogen',
  CO2: 'carbon dioxide',
  N2: 'nitrogen',
};

/** What the checklist has to know of the plan's reaction: its gas by name, and the usual cautions. */
export function checklistReactionOf(plan: Plan): ChecklistReaction {
  return { gas: gasNames[plan.own?.gas ?? ''] ?? 'gas', cautions: [] };
}
