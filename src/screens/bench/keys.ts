import type { Meaning } from '../../log/meaning.ts';

/** What the number that is being typed will be. */
export type Typing = 'reading' | 'correction' | 'baseline' | 'temperature';

export interface KeyState {
  readonly typing: Typing;
  /** Digits so far, point as decimal sign. */
  readonly digits: string;
  /** Page time of the first digit, ms: the moment a typed reading means. */
  readonly firstMs: number | null;
}

export const noKeys: KeyState = { typing: 'reading', digits: '', firstMs: null };

export interface KeyOutcome {
  readonly state: KeyState;
  readonly meaning?: Meaning;
  /** Page time that the meaning means, ms. */
  readonly atMs?: number;
  readonly undo?: boolean;
  /** Why nothing came of the key: the number got too long, or there was none. */
  readonly refused?: { readonly tooLong: string } | { readonly noNumberFor: Typing };
}

/** What the keys need to know of the notebook. */
export interface KeyContext {
  /** Label that the next run gets. */
  readonly nextRun: string;
  readonly paused: boolean;
  readonly swirling: boolean;
}

/** Null when the key means nothing here. */
export function pressKey(key: string, atMs: number, state: KeyState, context: KeyContext): KeyOutcome | null {
  if (/^[\d.,]$/.test(key) && state.digits.length >= mostDigits) return { state, refused: { tooLong: state.digits } };
  if (/^\d$/.test(key)) return { state: { ...state, digits: state.digits + key, firstMs: state.firstMs ?? atMs } };
  if ((key === '.' || key === ',') && !state.digits.includes('.'))
    return { state: { ...state, digits: `${state.digits || '0'}.`, firstMs: state.firstMs ?? atMs } };
  const name = key.toLowerCase();
  const meaning = meanings.get(name)?.(context);
  if (meaning) return { state: noKeys, meaning, atMs };
  const typing = typed.get(name);
  if (typing) return { state: { ...noKeys, typing } };
  switch (name) {
    case 'enter':
      return enter(state, atMs);
    case 'backspace':
      return { state: { ...state, digits: state.digits.slice(0, -1) } };
    case 'escape':
      return { state: noKeys };
    case 'u':
      return { state: noKeys, undo: true };
    default:
      return null;
  }
}

/** Keys that mean something at once. */
const meanings: ReadonlyMap<string, (context: KeyContext) => Meaning> = new Map<
  string,
  (context: KeyContext) => Meaning
>([
  [' ', () => ({ kind: 'mark' })],
  ['d', () => ({ kind: 'disregard' })],
  ['s', ({ nextRun }) => ({ kind: 'start-run', run: nextRun })],
  ['e', () => ({ kind: 'end-run' })],
  ['p', ({ paused }) => ({ kind: paused ? 'go-ahead' : 'stand-by' })],
  ['a', () => ({ kind: 'say-again' })],
  ['w', ({ swirling }) => ({ kind: 'happening', what: swirling ? 'swirl-stopped' : 'swirling' })],
  ['l', () => ({ kind: 'happening', what: 'leak' })],
]);

/** Keys after which a number of this kind is typed. */
const typed: ReadonlyMap<string, Typing> = new Map([
  ['c', 'correction'],
  ['b', 'baseline'],
  ['t', 'temperature'],
]);

/** No cylinder is read to more. */
const mostDigits = 9;

function enter(state: KeyState, atMs: number): KeyOutcome | null {
  const value = state.digits.replace(/\.$/, '');
  if (value === '') {
    if (state.typing === 'reading') return null;
    return { state: noKeys, refused: { noNumberFor: state.typing } };
  }
  if (state.typing === 'reading')
    return {
      state: noKeys,
      meaning: { kind: 'reading', values: [{ value }] },
      atMs: state.firstMs ?? atMs,
    };
  return { state: noKeys, meaning: { kind: state.typing, value }, atMs };
}
