/**
 * The caller is the loudest and nearest voice: how loud, the calls tell of which the ear was sure. Other voices are set
 * against that level.
 */
export interface CallerLevel {
  /** dB of full scale; null before it is known. */
  db(): number | null;
  /** How far a voice is below the caller, dB; 0 while the caller's level is not known. */
  below(levelDb: number): number;
  /** A sentence that the ear was sure of, and how loud it was said. */
  learn(levelDb: number): void;
}

/** So far below the caller a voice may be somebody else's; a caller varies as much now and then, dB. */
export const softBelowDb = 3;
/** So far below the caller a voice is in doubt, and a little farther it is background, dB. */
export const doubtBelowDb = 5;
export const backgroundBelowDb = 9;

/** Calls from which the level is known, and the least number of them. */
const kept = 6;
const least = 2;
/** So many quiet ones on end are the caller, who moved away. */
const movedAfter = 3;

/**
 * @example
 * const caller = makeCallerLevel();
 * caller.learn(-26);
 * caller.learn(-24);
 * caller.below(-36) // => 10
 */
export function makeCallerLevel(): CallerLevel {
  let sure: number[] = [];
  let quiet: number[] = [];
  // The second loudest: one shout, or one knock on the phone, is no caller.
  const db = (): number | null => (sure.length < least ? null : ([...sure].sort((a, b) => b - a)[1] ?? null));
  const below = (levelDb: number): number => {
    const known = db();
    return known === null ? 0 : known - levelDb;
  };
  return {
    db,
    below,
    learn(levelDb) {
      if (below(levelDb) > doubtBelowDb) {
        quiet.push(levelDb);
        if (quiet.length < movedAfter) return;
        sure = quiet;
      } else {
        sure.push(levelDb);
        if (sure.length > kept) sure.shift();
      }
      quiet = [];
    },
  };
}
