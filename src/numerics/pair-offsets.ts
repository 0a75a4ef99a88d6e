/** Up to here every pair of readings is looked at. */
const ALL_PAIRS = 2000;
const MOST_PAIRS = 2_000_000;

/**
 * Distances j - i at which pairs of n readings are compared: all of them up to 2,000 readings; of more, evenly spaced
 * ones so that about two million pairs remain, which bounds time and memory however long the list is.
 * @example
 * pairOffsets(4) // => [1, 2, 3]
 */
export function pairOffsets(n: number): number[] {
  if (n <= ALL_PAIRS) return Array.from({ length: Math.max(0, n - 1) }, (_, i) => i + 1);
  const count = Math.max(1, Math.floor(MOST_PAIRS / n));
  return Array.from({ length: count }, (_, i) => Math.max(1, Math.round(((i + 0.5) / count) * (n - 1))));
}
