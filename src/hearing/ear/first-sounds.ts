/**
 * How loud the first sound of a word is beside the loudest vowel, band by band of `filter-bank.ts`, dB: the "f" of
 * "forty" is far below it and lies high, the "n" of "nine" is a little below it and lies low. What is expected to hide
 * under the noise says nothing by being absent.
 *
 * Source: relative powers of the sounds of English, H. Fletcher, Speech and Hearing in Communication (1953): aw 680,
 * th 1, f 5, p 6, d 7, v 12, k 13, t 15, g 15, s 16, z 16, n 36, m 52, l 100, r 210 (from memory). Where they lie in the
 * spectrum is common knowledge of phonetics, no source.
 */
type Place = 'low' | 'hiss' | 'breath' | 'burst' | 'vowel';

/** Each band beside the whole of the sound, dB. */
const places: Readonly<Record<Place, readonly number[]>> = {
  low: [-1, -8, -14, -20, -26],
  vowel: [-3, -4, -8, -14, -22],
  hiss: [-24, -22, -16, -6, -1],
  breath: [-14, -11, -9, -5, -4],
  burst: [-14, -12, -9, -4, -4],
};

const powers: readonly (readonly [beginning: string, power: number, place: Place])[] = [
  ['th', 1, 'breath'],
  ['f', 5, 'breath'],
  ['h', 5, 'breath'],
  ['p', 6, 'burst'],
  ['d', 7, 'burst'],
  ['b', 7, 'burst'],
  ['c', 13, 'burst'],
  ['t', 15, 'burst'],
  ['g', 15, 'burst'],
  ['s', 16, 'hiss'],
  ['z', 16, 'hiss'],
  ['n', 36, 'low'],
  ['m', 52, 'low'],
  ['l', 100, 'low'],
  ['r', 210, 'vowel'],
];
const vowel = 680;

/**
 * @returns for each band, dB beside the loudest vowel of the word
 * @example
 * firstSound('nine')[0] // => -13.76
 */
export function firstSound(word: string): readonly number[] {
  const [, power = vowel, place = 'vowel'] = powers.find(([beginning]) => word.startsWith(beginning)) ?? [];
  const levelDb = 10 * Math.log10(power / vowel);
  return places[place].map((db) => Math.round(100 * (db + levelDb)) / 100);
}

/** The vowel after it. */
export const vowelSound: readonly number[] = places.vowel;
