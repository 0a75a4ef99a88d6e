/**
 * Numbers that are taken for one another when spoken, as whole readings: the candidates for "misheard". The sound
 * model proper lives in `language/`; here only the value is known, so the list is the well-known ones: -teen and -ty,
 * five and nine, a lost or gained tens word, swapped digits, a neighbouring mark.
 *
 * @param value as taken, mL
 * @param step distance between marks, mL, or null when readings are not called at marks
 * @returns other values the caller may have said, each once; common practice, no source
 */
export function confusableWith(value: number, step: number | null): number[] {
  const found = new Set<number>();
  const rounded = Math.round(value * 1e6) / 1e6;
  const whole = Math.floor(rounded + 1e-9);
  const fraction = Math.round((rounded - whole) * 1e6) / 1e6;
  const add = (other: number): void => {
    const clean = Math.round(other * 1e6) / 1e6;
    if (clean >= 0 && clean !== rounded) found.add(clean);
  };
  for (const other of [...soundsLike(whole), ...wordsLostOrGained(whole)]) add(other + fraction);
  // five and nine behind the point, too.
  for (const digits of swaps(String(fraction).replace('0.', ''), '5', '9')) add(whole + Number(`0.${digits}`));
  // "point" lost: 25.5 as 255, and back.
  if (fraction > 0) add(whole);
  if (whole >= 100 && whole <= 999) add(whole / 10);
  // a neighbouring mark.
  if (step !== null && step > 0) for (const times of [-2, -1, 1, 2]) add(rounded + times * step);
  return [...found].sort((a, b) => a - b);
}

/** Whole numbers that sound alike. */
function soundsLike(whole: number): number[] {
  const tens = Math.floor(whole / 10);
  const ones = whole % 10;
  const found: number[] = [];
  // thirteen and thirty ... nineteen and ninety; twelve and twenty sound alike to some ears too.
  if (whole >= 13 && whole <= 19) found.push(ones * 10);
  if (whole >= 30 && whole <= 90 && ones === 0) found.push(10 + tens);
  // two and ten begin alike.
  for (const [one, other] of alike) {
    if (whole === one) found.push(other);
    if (whole === other) found.push(one);
  }
  // five and nine, in either place.
  for (const digits of swaps(String(whole), '5', '9')) found.push(Number(digits));
  // digits swapped.
  if (whole >= 10 && whole <= 99) found.push(ones * 10 + tens);
  return found;
}

const alike = [
  [2, 10],
  [12, 20],
] as const;

/** Whole numbers from which a word was lost, or to which one was added. */
function wordsLostOrGained(whole: number): number[] {
  const tens = Math.floor(whole / 10);
  const ones = whole % 10;
  const found: number[] = [];
  // the -teen lost or gained (six, sixteen); its stem said again as tens and ones (fourteen, forty-four).
  if (whole >= 13 && whole <= 19) found.push(ones, ones * 11);
  if (whole >= 3 && whole <= 9) found.push(10 + whole);
  if (whole >= 33 && whole <= 99 && tens === ones) found.push(10 + ones);
  // twenty-five heard as twenty or as five; the tens or the ones word lost or gained.
  if (whole >= 21 && ones !== 0) found.push(tens * 10, ones);
  if (ones === 0 && whole >= 20) for (let digit = 1; digit <= 9; digit++) found.push(whole + digit);
  if (whole < 10) for (let ten = 20; ten <= 90; ten += 10) found.push(whole + ten);
  // another tens word before the same ones.
  if (whole >= 20) for (let ten = 2; ten <= 9; ten++) found.push(ten * 10 + ones);
  return found;
}

function swaps(digits: string, a: string, b: string): string[] {
  const out: string[] = [];
  for (let i = 0; i < digits.length; i++) {
    const digit = digits[i];
    const other = digit === a ? b : digit === b ? a : null;
    if (other !== null) out.push(digits.slice(0, i) + other + digits.slice(i + 1));
  }
  return out;
}
