import type { RoomLevel } from './ear.ts';

/** How the room is beside the caller: quiet enough; loud, and the caller is heard all the same; too loud. */
export type RoomVerdict = 'quiet' | 'loud' | 'too loud';

/** So little below the caller the room is loud, and too loud, dB: `npm run bench -- room` loses readings from some 8 dB. */
const loudDb = 18;
const tooLoudDb = 7;
/** It has to be quieter by so much before less is said, dB: the words on the screen do not flicker. */
const hysteresisDb = 3;

/**
 * @param before the verdict so far
 * @example
 * roomVerdict({ callerDb: -26, othersDb: -38 }, 'quiet') // => 'loud'
 */
export function roomVerdict({ callerDb, othersDb }: RoomLevel, before: RoomVerdict): RoomVerdict {
  if (callerDb === null || othersDb === null) return 'quiet';
  const belowDb = callerDb - othersDb;
  if (belowDb < tooLoudDb + (before === 'too loud' ? hysteresisDb : 0)) return 'too loud';
  return belowDb < loudDb + (before === 'quiet' ? 0 : hysteresisDb) ? 'loud' : 'quiet';
}
