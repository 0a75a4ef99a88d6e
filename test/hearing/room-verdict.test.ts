import { expect, test } from 'vitest';
import { type RoomVerdict, roomVerdict } from '../../src/hearing/room-verdict.ts';

const verdicts = (othersDb: readonly (number | null)[], callerDb: number | null = -26): RoomVerdict[] => {
  let verdict: RoomVerdict = 'quiet';
  return othersDb.map((level) => {
    verdict = roomVerdict({ callerDb, othersDb: level }, verdict);
    return verdict;
  });
};

test('a room is judged by how far it is below the caller', () => {
  expect(verdicts([-70, -40, -30, -70])).toEqual(['quiet', 'loud', 'too loud', 'quiet']);
});

test('nothing is said before the caller and the room are known', () => {
  expect(verdicts([-20], null)).toEqual(['quiet']);
  expect(verdicts([null])).toEqual(['quiet']);
});

test('a level that wavers about a bound does not flicker', () => {
  expect(verdicts([-43, -45, -43, -45])).toEqual(['loud', 'loud', 'loud', 'loud']);
  expect(verdicts([-32, -34, -32, -34])).toEqual(['too loud', 'too loud', 'too loud', 'too loud']);
});
