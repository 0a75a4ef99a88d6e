import type { Decimal } from '../log/meaning.ts';
import { nth } from '../numerics/nth.ts';
import { candidates } from './candidates.ts';
import type { Candidate } from './numbers.ts';
import type { Words } from './words.ts';

/** One text that an ear offers for an utterance. Hypotheses of one ear come best first. */
export interface Hypothesis {
  readonly text: string;
  /** What the ear says of it, 0..1, or null. Believed only where it is a share among alternatives. */
  readonly p: number | null;
  /** Which ear: hypotheses of different ears are independent witnesses. */
  readonly ear: string;
  /** Where it begins, if not with the sound of the call; ms. */
  readonly begins?: { readonly laterMs: number; readonly uMs: number };
}

/** What one ear makes of an utterance. Masses are shares of its belief; they sum to less than 1. */
export interface Witness {
  readonly ear: string;
  readonly heard: readonly { readonly candidate: Candidate; readonly mass: number; readonly text: string }[];
  /** Share of texts that are neither number nor command, and the words in the longest of them. */
  readonly talk: number;
  readonly talkWords: number;
  /** Share left for anything that is not among its alternatives. */
  readonly missing: number;
  /** What of that the ear itself holds for other speech, or none; 0 where it does not say. */
  readonly other: number;
  /** Its figures are probabilities; else only the order of its alternatives counts. */
  readonly calibrated: boolean;
}

export interface Understood {
  readonly witnesses: readonly Witness[];
  /** Every different candidate with its share of all ears' belief, best first. */
  readonly candidates: readonly { readonly candidate: Candidate; readonly support: number; readonly ears: number }[];
  /** The text that is shown as heard. */
  readonly text: string;
}

/**
 * Belief in the alternatives of an engine that gives no usable figures (reasoned from what is demanded of a usable one:
 * nine first answers in ten right, and the right one among the others four times in five).
 */
const firstRight = 0.9;
const amongOthers = 0.08;
/** Each further alternative is so much less likely than the one before. */
const rankFactor = 0.6;

/**
 * What the texts of one or several ears can mean together. Nothing is decided here: `judge` weighs it against what is
 * expected. Hypotheses of the tool's own voice must be gone (`isEcho`).
 */
export function understand(hypotheses: readonly Hypothesis[], words: Words): Understood {
  const byEar = new Map<string, Hypothesis[]>();
  for (const hypothesis of hypotheses) {
    const list = byEar.get(hypothesis.ear) ?? [];
    if (!list.some(({ text }) => text.trim() === hypothesis.text.trim())) list.push(hypothesis);
    byEar.set(hypothesis.ear, list);
  }
  const witnesses = [...byEar].map(([ear, list]) => witnessOf(ear, list, words));
  const merged = new Map<string, { candidate: Candidate; support: number; ears: number }>();
  for (const witness of witnesses) {
    const seen = new Set<string>();
    for (const { candidate, mass } of witness.heard) {
      const key = keyOf(candidate);
      const known = merged.get(key);
      const plainer =
        known && known.candidate.kind !== 'incomplete' && 'ask' in known.candidate && known.candidate.ask
          ? candidate
          : known?.candidate;
      merged.set(key, {
        candidate: plainer ?? candidate,
        support: (known?.support ?? 0) + mass / witnesses.length,
        ears: (known?.ears ?? 0) + (seen.has(key) ? 0 : 1),
      });
      seen.add(key);
    }
  }
  return {
    witnesses,
    candidates: [...merged.values()].sort((a, b) => b.support - a.support),
    text: hypotheses[0]?.text.trim() ?? '',
  };
}

/** Same key, same meaning. */
export function keyOf(candidate: Candidate): string {
  if (candidate.kind === 'reading') return candidate.values.join(' ');
  if (candidate.kind === 'command') return JSON.stringify(candidate.meaning);
  return candidate.kind === 'incomplete' ? `… ${candidate.wants} ${candidate.said}` : candidate.kind;
}

function witnessOf(ear: string, list: readonly Hypothesis[], words: Words): Witness {
  const masses = massesOf(ear, list);
  const heard: { candidate: Candidate; mass: number; text: string }[] = [];
  let talk = 0;
  let talkWords = 0;
  list.forEach(({ text }, k) => {
    const found = candidates(text, words);
    const total = found.reduce((sum, { weight }) => sum + weight, 0);
    if (total === 0) {
      talk += nth(masses, k);
      talkWords = Math.max(talkWords, text.trim().split(/\s+/).filter(Boolean).length);
    }
    for (const candidate of found) heard.push({ candidate, mass: (nth(masses, k) * candidate.weight) / total, text });
  });
  const missing = 1 - masses.reduce((sum, mass) => sum + mass, 0);
  return {
    ear,
    heard: withDecimals(heard),
    talk,
    talkWords,
    missing,
    other: ear === calibratedEar ? missing : 0,
    calibrated: ear === calibratedEar,
  };
}

type Heard = Witness['heard'][number];

/** Decimals are lost, hardly ever invented: how much of what an ear holds for "82" beside a likelier "82.7" is "82". */
const trulyWhole = 0.1;

/** What is held for a number without its decimals counts for the likelier one with them. */
function withDecimals(heard: readonly Heard[]): readonly Heard[] {
  return heard.flatMap((one): Heard[] => {
    const { candidate, mass } = one;
    const whole = candidate.kind === 'reading' && candidate.values.length === 1 ? candidate.values[0] : undefined;
    if (whole === undefined || whole.includes('.')) return [one];
    const full = heard.find(
      (other) =>
        other.mass > mass && other.candidate.kind === 'reading' && keyOf(other.candidate).startsWith(`${whole}.`),
    );
    if (!full) return [one];
    return [
      { ...one, mass: trulyWhole * mass },
      { ...full, mass: (1 - trulyWhole) * mass, text: one.text },
    ];
  });
}

/** Probabilities of this ear are calibrated (its model card); they sum to 1 with "something else" and "no speech". */
const calibratedEar = 'own';

/**
 * Belief per alternative. Figures are used only where they are shares: several of them, none above 1 together.
 * Confidences of browsers are not (0 for all but the first, or 1 throughout), so those count by rank alone.
 */
function massesOf(ear: string, list: readonly Hypothesis[]): number[] {
  if (ear === calibratedEar && list.every(({ p }) => p !== null && p > 0))
    return list.map(({ p }) => Math.min(p ?? 0, 0.995));
  const given = list.map(({ p }) => p ?? 0);
  const sum = given.reduce((total, p) => total + p, 0);
  const shares = list.length > 1 && given.filter((p) => p > 0).length > 1 && sum <= 1.001;
  if (shares) return given.map((p) => Math.min(p, 0.995));
  const ranks = list.slice(1).map((_, k) => rankFactor ** k);
  const total = ranks.reduce((all, rank) => all + rank, 0);
  return [firstRight, ...ranks.map((rank) => (rank / total) * amongOthers)].slice(0, list.length);
}

/**
 * One number cut in two, by the speaker's breath or by the recogniser: "25" and within a second and a half "point 5",
 * "twenty" and "five", "twenty five point" and "five", "fünf" and "und zwanzig".
 * @param gapMs from the end of the first to the beginning of the second
 * @returns the joined number, or null when the second does not continue the first
 */
export function continues(previous: string, next: string, gapMs: number, words: Words): Decimal | null {
  if (gapMs < 0 || gapMs >= 1500) return null;
  const { point, and } = words.numbers;
  const before = candidates(previous, words)[0];
  const whole = before?.kind === 'reading' && before.unit === null ? single(before) : null;
  if (before?.kind === 'incomplete' && before.wants === 'decimals')
    return single(candidates(`${previous} ${next}`, words)[0]);
  if (whole === null || !/^\d+$/.test(whole)) return null;
  const value = single(candidates(next, words)[0]);
  if (value === null) return null;
  if (beginsWith(next, ['\\.', ',', ...point])) return value.startsWith('0.') ? whole + value.slice(1) : null;
  if (beginsWith(next, and)) {
    const joined = single(candidates(`${previous} ${next}`, words)[0]);
    return joined !== null && Number(joined) === Number(whole) + Number(value) ? joined : null;
  }
  const tens = Number(whole) >= 20 && Number(whole) <= 90 && Number(whole) % 10 === 0;
  return tens && /^[1-9]$/.test(value) ? String(Number(whole) + Number(value)) : null;
}

const single = (candidate: Candidate | undefined): Decimal | null =>
  candidate?.kind === 'reading' && candidate.values.length === 1 ? (candidate.values[0] ?? null) : null;

const beginsWith = (text: string, signs: readonly string[]): boolean =>
  signs.length > 0 && new RegExp(`^\\s*(?:${signs.join('|')})`, 'iu').test(text);
