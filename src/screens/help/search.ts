/** Without case and accents, so that "uber" finds "über". */
const plain = (text: string): string => text.toLowerCase().normalize('NFD').replace(/\p{M}/gu, '').replaceAll('’', "'");

/**
 * The words of what was typed into the search field.
 * @example
 * queryWords(' Über  Nacht ') // => ['uber', 'nacht']
 */
export const queryWords = (query: string): readonly string[] => plain(query).split(/\s+/).filter(Boolean);

/** One line of a table in Help. */
export interface HelpRow {
  /** What is said, heard or pressed; the first one is taught. */
  readonly says: readonly string[];
  readonly does: string;
  /** Other words that people search it by. */
  readonly find: string;
}

/** A part of Help: rows of a table, or plain text. */
export interface HelpPart {
  readonly title: string;
  readonly rows: readonly HelpRow[];
  /** What a part without rows says. */
  readonly text: string;
}

/** What a search leaves of a part. */
export interface Found {
  readonly rows: readonly HelpRow[];
  /** Rows, or 1 for a text; 0: the part is hidden. */
  readonly count: number;
}

/**
 * The rows of a part that have every word of the query; all of them where the title has. Without words: everything.
 * @example
 * foundIn({ title: 'Keys', rows: [{ says: ['S'], does: 'starts the run', find: '' }], text: '' }, ['run']).count // => 1
 */
export function foundIn(part: HelpPart, words: readonly string[]): Found {
  const has = (text: string): boolean => {
    const searched = plain(text);
    return words.every((word) => searched.includes(word));
  };
  if (part.rows.length === 0) return { rows: [], count: has(`${part.title} ${part.text}`) ? 1 : 0 };
  const rows = has(part.title)
    ? part.rows
    : part.rows.filter(({ says, does, find }) => has([...says, does, find].join(' ')));
  return { rows, count: rows.length };
}
