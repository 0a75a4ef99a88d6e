/** So many runs decide what kind of curve it is, and where the fit of all of them starts. */
const jurySize = 200;
const golden = (Math.sqrt(5) - 1) / 2;

/** Whether there are so many runs that some of them decide for all. */
export const areMany = (runs: readonly unknown[]): boolean => runs.length > jurySize;

/**
 * Some two hundred of very many runs, spread over them by the golden ratio, which goes along with no pattern of theirs (a
 * table that repeats its five mixtures in turn); null where there are no more than that.
 * @example
 * juryOf(Array.from({ length: 10_000 }))?.length // => 200
 */
export function juryOf<T>(runs: readonly T[]): readonly T[] | null {
  if (!areMany(runs)) return null;
  const share = jurySize / runs.length;
  return runs.filter((_, i) => ((i + 1) * golden) % 1 < share);
}
