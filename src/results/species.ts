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

/** Gases that sentences name beside the species of a plan. */
const gases = ['CO2', 'O2', 'N2', 'H2', 'H2O2'];

/** A sentence of the rooms below with the species in it as they are printed: "strength of H₂O₂", "d[O₂]/dt". */
export function speciesInText(sentence: string, species: readonly string[]): string {
  const names = [...new Set([...species, ...gases])].filter((name) => name !== '' && speciesText(name) !== name);
  names.sort((a, b) => b.length - a.length);
  const any = names.map((name) => name.replace(/[()+]/g, '\\$&')).join('|');
  return sentence.replace(new RegExp(`(?<![A-Za-z0-9])(?:${any})(?![A-Za-z0-9])`, 'g'), speciesText);
}

/** A piece of a printed text: on the line, lowered (₂) or raised (⁻). */
export interface ScriptPart {
  readonly text: string;
  readonly level: 'line' | 'sub' | 'sup';
}

const raised = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/**
 * Splits a text at its raised and lowered characters, which few fonts have, into ordinary characters with their level:
 * a page sets them by `sub` and `sup`, a drawing by `tspan`.
 * @example
 * scriptParts('[I⁻]₀') // => [{ text: '[I', level: 'line' }, { text: '−', level: 'sup' }, { text: ']', level: 'line' }, { text: '0', level: 'sub' }]
 */
export function scriptParts(text: string): ScriptPart[] {
  return (text.match(/[₀-₉]+|[⁰¹²³⁴-⁹⁺⁻]+|[^₀-₉⁰¹²³⁴-⁹⁺⁻]+/gu) ?? []).map((part): ScriptPart => {
    if (/^[₀-₉]/u.test(part)) return { text: mapped(part, lowered), level: 'sub' };
    if (/^[⁰¹²³⁴-⁹⁺⁻]/u.test(part)) return { text: mapped(part, raised), level: 'sup' };
    return { text: part, level: 'line' };
  });
}

const mapped = (part: string, digits: string): string =>
  [...part].map((mark) => (mark === '⁻' ? '−' : mark === '⁺' ? '+' : String([...digits].indexOf(mark)))).join('');
