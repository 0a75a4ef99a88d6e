const lowered = '₀₁₂₃₄₅₆₇₈₉';

/** "H₂O₂", "I⁻": a species key as it is printed. Names that are no formula stay as they are. */
export function speciesText(key: string): string {
  if (!/^[A-Z][A-Za-z0-9()]*[0-9]*[+-]*$/.test(key) || /[a-z]{2}/.test(key)) return key;
  return key
    .replace(/\d/g, (digit) => lowered[Number(digit)] ?? digit)
    .replace(/-/g, '⁻')
    .replace(/\+/g, '⁺');
}

/** The same in LaTeX math mode. */
export function speciesLatex(key: string): string {
  if (speciesText(key) === key) return `\\mathrm{${key.replace(/[^A-Za-z0-9]/g, '')}}`;
  const body = key.replace(/[+-]+$/, '').replace(/(\d+)/g, '_{$1}');
  const charge = /[+-]+$/.exec(key)?.[0] ?? '';
  return `\\mathrm{${body}${charge ? `^{${charge}}` : ''}}`;
}
