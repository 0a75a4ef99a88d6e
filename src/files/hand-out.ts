import { z } from 'zod/mini';
import { checksumOf } from '../log/checksum.ts';
import { ClassPlan } from '../log/class-plan.ts';
import { Plan } from '../log/plan.ts';
import { type Checked, refusal, refusals, wrongPart } from '../log/refusal.ts';
import { Setup } from '../log/setup.ts';

/** A run sheet on its own, for others to start from: a teacher's hand-out. */
export const HandOut = z.strictObject({
  format: z.literal('meniscall-plan'),
  schema: z.int().check(z.gte(1), z.lte(1)),
  title: z.string().check(z.maxLength(200)),
  plan: Plan,
  setup: z.optional(Setup),
  groups: z.optional(ClassPlan.shape.groups),
  questions: z.optional(ClassPlan.shape.questions),
  /** `checksumOf([title, plan, setup])`, as in a notebook file; with `groups` and `questions` where there are any. */
  check: z.optional(z.string().check(z.regex(/^[0-9a-f]{8}$/))),
});

export interface HandOut {
  readonly title: string;
  readonly plan: Plan;
  readonly setup?: Setup;
  /** Names of the groups to choose from. */
  readonly groups?: readonly string[];
  /** Questions of the work sheet, one a line. */
  readonly questions?: string;
}

const sumOf = ({ title, plan, setup, groups, questions }: HandOut): string =>
  checksumOf([title, plan, setup ?? null, ...(groups || questions ? [groups ?? [], questions ?? ''] : [])]);

/** A hand-out as a file. */
export function handOutToJson(handOut: HandOut): string {
  const { title, ...rest } = handOut;
  return `${JSON.stringify({ format: 'meniscall-plan', schema: 1, title, check: sumOf(handOut), ...rest }, null, 1)}\n`;
}

/** zod gathers all that is wrong and runs out of stack when that is hundreds of thousands of things. */
function parsed(raw: unknown): ReturnType<typeof HandOut.safeParse> {
  try {
    return HandOut.safeParse(raw);
  } catch {
    return HandOut.safeParse(null);
  }
}

/** From a parsed value. Never throws. */
export function handOutFromRaw(raw: unknown): Checked<HandOut> {
  const file = parsed(raw);
  if (!file.success) {
    const issue = file.error.issues[0];
    return refusal(refusals.sheetDamaged(wrongPart(issue)), `${issue?.path.join('.')}: ${issue?.message}`);
  }
  const { title, plan, setup, groups, questions, check } = file.data;
  const handOut: HandOut = {
    title,
    plan,
    ...(setup ? { setup } : {}),
    ...(groups ? { groups } : {}),
    ...(questions ? { questions } : {}),
  };
  if (check !== undefined && check !== sumOf(handOut))
    return refusal(refusals.sheetChanged, `check ${check} is not ${sumOf(handOut)}`);
  return { ok: true, value: handOut };
}
