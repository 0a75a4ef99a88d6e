/** English words that no German sentence has. */
const english = new Set(
  `the of is are not with this that from you your it its for to has have been were be by on or no but which when where
  there they every each call calls reading readings run runs mark marks notebook before after over other than more and
  scatter bench baseline heard last sources volume poured`.split(/\s+/),
);

/**
 * English words in a text of a German page. What stands in quotation marks is said, and may be English; so may what is
 * cited (it has a year behind it).
 */
export function englishIn(text: string): string[] {
  const own = text
    .replace(/„[^“]*“|“[^”]*”/g, '')
    .replace(/\p{Lu}\p{L}+ and \p{Lu}\p{L}+(?=,)/gu, '')
    .replace(/, initial rates/g, '');
  return [...new Set(own.toLowerCase().match(/\p{L}+/gu) ?? [])].filter((word) => english.has(word));
}
