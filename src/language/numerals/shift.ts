/** Moves the decimal point of a decimal, to the right for positive places. Keeps every digit that was said. */
export function shift(value: string, places: number): string {
  const negative = value.startsWith('-');
  const [whole = '', decimals = ''] = value.replace('-', '').split('.');
  let digits = whole + decimals;
  let at = whole.length + places;
  if (at < 1) {
    digits = '0'.repeat(1 - at) + digits;
    at = 1;
  }
  digits = digits.padEnd(at, '0');
  const head = digits.slice(0, at).replace(/^0+(?=\d)/, '');
  const tail = digits.slice(at);
  return (negative ? '-' : '') + head + (tail ? `.${tail}` : '');
}
