import { z } from 'zod/mini';

/**
 * What an utterance can mean. The vocabulary of the whole product: `language/` makes these from words, `bench/`
 * acts on them, the event log keeps them.
 */

/** A decimal number exactly as it was said: "25.0" stays "25.0" and is not "25". Point as the decimal sign. */
export const Decimal = z
  .string()
  .check(z.regex(/^-?\d{1,7}(\.\d{1,9})?$/, 'a plain decimal number such as 25 or 25.0'));
export type Decimal = z.infer<typeof Decimal>;

export const HappeningKind = z.enum(['swirling', 'swirl-stopped', 'leak', 'spill']);
export type HappeningKind = z.infer<typeof HappeningKind>;

export const Meaning = z.discriminatedUnion('kind', [
  /** One cylinder reading, or several said in one breath; each may carry its own moment (notebook time, ms). */
  z.object({
    kind: z.literal('reading'),
    values: z
      .array(z.object({ value: Decimal, timeMs: z.optional(z.number().check(z.gte(-1e13), z.lte(1e13))) }))
      .check(z.minLength(1), z.maxLength(30)),
    /** true when the caller said "mark" (or sound marks are on) and the value is the next expected mark. */
    marked: z.optional(z.boolean()),
  }),
  /** "mark": a reading at the next expected mark. Turned into a `reading` before it is recorded. */
  z.object({ kind: z.literal('mark') }),
  z.object({ kind: z.literal('correction'), value: Decimal }),
  /** "that was fifty", or "fifty" answering "fifteen or fifty?": settles the latest doubtful reading. */
  z.object({ kind: z.literal('settle'), value: Decimal }),
  z.object({ kind: z.literal('disregard') }),
  z.object({ kind: z.literal('say-again') }),
  z.object({ kind: z.literal('stand-by') }),
  z.object({ kind: z.literal('go-ahead') }),
  z.object({ kind: z.literal('baseline'), value: Decimal }),
  z.object({ kind: z.literal('start-run'), run: z.string().check(z.minLength(1), z.maxLength(40)) }),
  z.object({ kind: z.literal('end-run') }),
  z.object({ kind: z.literal('happening'), what: HappeningKind }),
  z.object({ kind: z.literal('temperature'), value: Decimal }),
  /** Air pressure at the bench, hPa. */
  z.object({ kind: z.literal('pressure'), value: Decimal }),
  z.object({ kind: z.literal('poured'), value: Decimal, reagent: z.string().check(z.maxLength(80)) }),
  z.object({ kind: z.literal('step'), which: z.enum(['next', 'previous', 'read']) }),
  /** "how fast", "how long": figures of the run, said aloud. */
  z.object({ kind: z.literal('ask'), what: z.enum(['rate', 'time']) }),
  z.object({ kind: z.literal('note'), text: z.string().check(z.maxLength(2000)) }),
  /** "yes" / "no" to a question the tool asked ("plan says ten: pour five more?"). */
  z.object({ kind: z.literal('reply'), yes: z.boolean() }),
]);
export type Meaning = z.infer<typeof Meaning>;
