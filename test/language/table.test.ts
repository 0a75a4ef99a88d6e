import { describe, expect, test } from 'vitest';
import { candidates, classOf } from '../../src/language/candidates.ts';
import type { Candidate } from '../../src/language/numbers.ts';
import { da } from '../../src/language/words/da.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';
import { fr } from '../../src/language/words/fr.ts';
import { hi } from '../../src/language/words/hi.ts';
import { nl } from '../../src/language/words/nl.ts';
import { no } from '../../src/language/words/no.ts';
import type { Words } from '../../src/language/words.ts';
import { the } from '../the.ts';
import { rows } from './table-rows.ts';

const languages: Readonly<Record<string, Words>> = { en, de, fr, da, nl, no, hi };

/** A candidate in the notation of the table. */
function shown(candidate: Candidate): string {
  if (candidate.kind === 'reading') return candidate.values.join(' ');
  if (candidate.kind === 'incomplete') return candidate.said ?? '';
  if (candidate.kind === 'withdrawn') return '-';
  const { meaning } = candidate;
  return meaning.kind === 'correction' ? `!correction ${meaning.value}` : `!${meaning.kind}`;
}

test('the table has all 160 cases, and every exception belongs to one of its writings', () => {
  expect(new Set(rows.map(({ no: number }) => number)).size).toBe(160);
  for (const { writings, but } of rows)
    for (const writing of Object.keys(but ?? {})) expect(writings).toContain(writing);
});

describe.each(rows)('case $no, $said', (row) => {
  test.each(row.writings)('written "%s"', (writing) => {
    const words = the(languages[row.language ?? 'en']);
    const found = candidates(writing, words);
    const expected = row.but?.[writing]?.[0] ?? row.class;
    expect(`${classOf(found)} ${found.slice(0, 4).map(shown).join(' | ')}`).toMatch(new RegExp(`^${expected}`));
    if (expected === 'R') return;
    const offers = found.map(shown);
    const meant = row.meant.filter((value) => offers.includes(value));
    expect(meant, `${offers.join(' | ')} offers what is meant`).not.toEqual([]);
    if ('NMC'.includes(expected)) expect(row.meant).toContain(offers[0]);
  });
});
