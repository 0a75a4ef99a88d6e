import type { CautionMoment } from '../../chemistry/caution.ts';

/** The run sheet is filled in step by step; each has an address of its own. */
export const sheetSteps = ['what', 'bottles', 'runs', 'hand-out'] as const;
export type SheetStep = (typeof sheetSteps)[number];

/** The cautions that stand in a step: those of the moment it prepares. */
export const momentOf: Readonly<Record<SheetStep, CautionMoment>> = {
  what: 'always',
  bottles: 'pouring',
  runs: 'running',
  'hand-out': 'cleaning',
};

/** The step that an address names; the first for any other. */
export const stepOf = (name: string | undefined): SheetStep => sheetSteps.find((step) => step === name) ?? 'what';
