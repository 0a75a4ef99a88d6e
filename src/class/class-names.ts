import { checksumOf } from '../log/checksum.ts';
import type { ClassEntry } from './class-entry.ts';

/** Names that several groups have, as `namesOf` does not leave them. */
export function namesakesOf(entries: readonly ClassEntry[]): string[] {
  const seen = new Set<string>();
  const twice = new Set<string>();
  for (const { name } of entries) (seen.has(name) ? twice : seen).add(name);
  return [...twice];
}

/**
 * A name of its own for every group, by id: the group's, with a number where several have the same; or numbers that
 * follow neither the order of arrival nor the name.
 * @param word "Group" in the page's language
 */
export function namesOf(
  entries: readonly ClassEntry[],
  anonymous: boolean,
  word = 'Group',
): ReadonlyMap<string, string> {
  if (!anonymous) {
    const taken = new Set(entries.map(({ name }) => name));
    const counts = new Map(namesakesOf(entries).map((name) => [name, 0]));
    return new Map(
      entries.map(({ id, name }) => {
        let own = name;
        for (let count = counts.get(name); count !== undefined && taken.has(own); ) {
          count += 1;
          counts.set(name, count);
          own = `${name} (${count})`;
        }
        taken.add(own);
        return [id, own];
      }),
    );
  }
  const shuffled = entries.map((entry) => ({ id: entry.id, by: checksumOf([entry.id, 'order']) }));
  shuffled.sort((a, b) => (a.by < b.by ? -1 : 1));
  return new Map(shuffled.map(({ id }, i) => [id, `${word} ${i + 1}`]));
}
