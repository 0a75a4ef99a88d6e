import { z } from 'zod/mini';

/** What a teacher hands out beside the run sheet. */
export const ClassPlan = z.object({
  /** Names of the groups, for each to choose its own. */
  groups: z.array(z.string().check(z.minLength(1), z.maxLength(80))).check(z.maxLength(60)),
  /** Questions of the work sheet, one a line. */
  questions: z.string().check(z.maxLength(4000)),
});
export type ClassPlan = z.infer<typeof ClassPlan>;

export const noClassPlan: ClassPlan = { groups: [], questions: '' };
