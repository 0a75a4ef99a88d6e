/**
 * A name as screens, tables and replies show it: what somebody typed stays in the events, and a file brings any text. Marks
 * that turn the direction of the text around them (Unicode Standard Annex #9) are left out, controls are spaces, half a
 * character is U+FFFD, and what nobody can see is no name. Letters that run from right to left need none of these marks.
 *
 * @example
 * shownName('\u202eIodide \u200b') // => 'Iodide'
 */
export function shownName(name: string): string {
  const shown = name
    .replace(/\p{Cs}/gu, '\ufffd')
    .replace(/[\u200e\u200f\u061c\u202a-\u202e\u2066-\u2069]/g, '')
    .replace(/\p{Cc}+/gu, ' ')
    .trim();
  // Blank though letters by their class: Hangul fillers, and the Braille pattern without dots.
  return /[^\p{Z}\p{C}\p{Default_Ignorable_Code_Point}\u2800]/u.test(shown)
    ? shown.replace(/[\u200b\u2060\ufeff]+$/, '').trim()
    : '';
}
