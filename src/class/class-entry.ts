import type { ShareOfU } from '../analysis/accepted-law.ts';
import {
  analyseExperiment,
  type ExperimentAnalysis,
  type LawSetting,
  lawRows,
  settingOf,
} from '../analysis/analyse-experiment.ts';
import type { CommonTo } from '../analysis/inputs.ts';
import { flagsDecide } from '../analysis/judge-law.ts';
import { isWild } from '../analysis/judge-order.ts';
import { lateRuns } from '../analysis/late-rate.ts';
import type { LawRow } from '../analysis/law-row.ts';
import { experimentOf, type NotebookExperiment } from '../analysis/notebook-analysis.ts';
import { pouredVolumes } from '../analysis/poured.ts';
import type { Experiment, Refused, RunReading } from '../analysis/run-data.ts';
import type { VerdictReason } from '../analysis/verdict.ts';
import { checksumOf } from '../log/checksum.ts';
import type { EventBody } from '../log/event.ts';
import { reduce } from '../log/reduce.ts';
import type { Setup } from '../log/setup.ts';
import type { Notebook, NotebookState } from '../log/state.ts';
import { constantOf, lawText } from '../results/rate-table.ts';
import { speciesText } from '../results/species.ts';

/** One group's result with what it did: what the class combines. Plain data, so that it crosses to a worker and is kept. */
export interface ClassEntry {
  readonly id: string;
  /** What the class calls it: the group's name, else the title of the notebook, or the name in a table of values. */
  readonly name: string;
  readonly title: string;
  readonly group: string;
  readonly members: string;
  /** When the notebook was begun, ms since 1970; null for a table of values. */
  readonly begunWallMs: number | null;
  /** How much is in its log; that a page opened it adds nothing. */
  readonly events: number;
  readonly invented: boolean;
  /** The same in every copy of a notebook: the event that made it; and its readings, whatever the notebook. */
  readonly origin: string;
  readonly readings: string | null;
  /** Null without a run sheet. `id` tells reactions apart, those that a user described by their names. */
  readonly reaction: { readonly id: string; readonly name: string } | null;
  /** Whether rates are amounts of gas, or its volume because pressure or temperature are not known. */
  readonly unit: 'amount' | 'volume' | 'value';
  /** The accepted orders; null without. */
  readonly orders: Readonly<Record<string, number>> | null;
  /** "rate = k [H₂O₂] [I⁻]", or what stands in its place. */
  readonly law: string;
  readonly quantities: Readonly<Record<string, Quantity>>;
  /** Why there is no k, when there is none. */
  readonly lack: Lack | null;
  readonly did: readonly RunDone[];
  /** Runs as the rate law sees them, at the temperature `referenceK`; mol, L, s (or m3/s of gas). */
  readonly rows: readonly LawRow[];
  readonly referenceK: number | null;
  /** Ea that brings a rate to another temperature, J/mol; null where none is known. */
  readonly activation: { readonly value: number; readonly u: number } | null;
  readonly stocks: readonly { readonly name: string; readonly species: string; readonly strength: string }[];
  readonly hPa: number | null;
  /** What was added in the class, because the group had not stated it. */
  readonly added: readonly ('pressure' | 'temperature')[];
  /** Kept where pressure or temperature is missing, so that it can be added. */
  readonly notebook: Notebook | null;
}

/** A value that groups can be compared in: "k", "order in H₂O₂". */
export interface Quantity {
  readonly value: number;
  readonly u: number;
  readonly unit: string;
  /** The part of `u` that comes from the labels of bottles and solids: the same for groups that share them. */
  readonly uLabels?: number;
  /** The part of `u` that is the same for every group with this reaction: the gas that stays dissolved. */
  readonly uReaction?: number;
}

/** What a group did in one run. */
export interface RunDone {
  readonly label: string;
  /** By name of the solution, mL. */
  readonly volumesMl: Readonly<Record<string, number>>;
  readonly temperatureC: number | null;
  /** Whether the gas above the reaction is allowed for, some percent of k. */
  readonly headspaceCounts: boolean;
  readonly used: number;
  readonly setAside: number;
  /** Readings that look wrong and nobody has settled. */
  readonly doubtful: number;
}

/** Why a notebook has no k. */
export type Lack =
  | { readonly code: 'no-readings' }
  | { readonly code: 'no-concentrations' }
  | { readonly code: 'open-order'; readonly species: readonly string[] }
  | { readonly code: 'no-simple-order' }
  /** The notebook's verdict; worst reason first. */
  | { readonly code: 'does-not-fit'; readonly reasons: readonly VerdictReason[] }
  | { readonly code: 'refused'; readonly reason: Refused['reason']; readonly sentence: string }
  /** Flagged readings that nobody has settled decide what k is. */
  | { readonly code: 'unsettled'; readonly count: number; readonly runs: readonly string[] }
  /** Starting rates that are not known, see `lateRuns`. */
  | { readonly code: 'late-rates'; readonly runs: readonly string[] }
  /** As in `VerdictReason`. */
  | { readonly code: 'constant-open'; readonly species: string | null }
  | { readonly code: 'no-uncertainty' };

const nameIn = ({ group, title }: NotebookState): string => group || title || 'untitled';

/** What the class calls a notebook: `name` of its entry, without computing that. */
export const classNameOf = (notebook: Notebook): string => nameIn(reduce(notebook.events));

/**
 * A notebook's result: the k and orders that the notebook itself shows first, from the fit of all its readings where that
 * leads. Cost: some 50 ms for three runs.
 */
export function entryOf(notebook: Notebook): ClassEntry {
  const state = reduce(notebook.events);
  const found = experimentOf(state);
  const analysis = analyseExperiment(found.experiment);
  const { law } = analysis;
  const setting = settingOf(analysis.experiment);
  const quantities = quantitiesIn(analysis);
  const text = lawText(law);
  const missesConditions = found.experiment.runs.length > 0 && analysis.unit === 'volume' && state.plan !== null;
  const { activationJPerMol } = found.experiment;
  return {
    id: notebook.id,
    name: nameIn(state),
    title: state.title,
    group: state.group,
    members: state.members,
    begunWallMs: state.createdWallMs,
    events: notebook.events.filter(({ body }) => body.kind !== 'opened').length,
    invented: state.invented,
    origin: notebook.events[0]?.id ?? notebook.id,
    readings: readingsSum(found.experiment),
    reaction: found.reaction && {
      id: found.reaction.id === 'own' ? `own: ${found.reaction.name}` : found.reaction.id,
      name: found.reaction.name,
    },
    unit: analysis.unit,
    orders: law.ok && law.accepted ? law.accepted.orders : null,
    law: text ?? 'no rate law',
    quantities,
    lack: quantities.k ? null : lackOf(analysis),
    did: doneOf(state, found, analysis),
    rows: rowsOf(analysis, setting),
    referenceK: setting.referenceK,
    activation: activationJPerMol ? { value: activationJPerMol.value, u: activationJPerMol.u } : null,
    stocks: (state.plan?.stocks ?? []).map(({ name, species, strength }) => ({
      name,
      species,
      strength: strength.unit === 'M-unknown' ? '?' : `${strength.value} ${strength.unit}`,
    })),
    hPa: state.setup.pressure?.hPa ?? null,
    added: [],
    notebook: missesConditions ? notebook : null,
  };
}

/**
 * The entry as it is with conditions that the group had not stated. They are added in the class alone: the group's own
 * notebook stays as it is.
 * @throws when the entry has no notebook with it
 */
export function withConditions(entry: ClassEntry, conditions: Pick<Setup, 'pressure' | 'temperatureC'>): ClassEntry {
  const { notebook } = entry;
  const last = notebook?.events.at(-1);
  if (!notebook || !last) throw new Error('this entry was kept without its notebook');
  const { setup } = reduce(notebook.events);
  const body: EventBody = {
    kind: 'set-up',
    setup: {
      ...setup,
      ...(conditions.pressure ? { pressure: conditions.pressure } : {}),
      ...(conditions.temperatureC === undefined ? {} : { temperatureC: conditions.temperatureC }),
    },
  };
  const event = { ...last, id: `${last.id}-class`, seq: last.seq + 1, body };
  const made = entryOf({ ...notebook, events: [...notebook.events, event] });
  const added = [
    ...entry.added,
    ...(conditions.pressure ? (['pressure'] as const) : []),
    ...(conditions.temperatureC === undefined ? [] : (['temperature'] as const)),
  ];
  return { ...made, events: entry.events, added: [...new Set(added)] };
}

function quantitiesIn({ law, unit, headline, whole }: ExperimentAnalysis): Record<string, Quantity> {
  const quantities: Record<string, Quantity> = {};
  const unitOfK = constantOf(law, unit);
  const k = headline?.k;
  if (law.ok && k && unitOfK && k.u !== null && k.u > 0) {
    const fitted = headline.from === 'all-readings' && whole.ok ? whole.accepted?.budget : undefined;
    const shares: readonly ShareOfU[] = fitted ?? law.accepted?.shares ?? [];
    const partOf = (common: CommonTo): number =>
      Math.min(
        k.u ?? 0,
        k.value * Math.hypot(...shares.flatMap(({ u, commonTo }) => (commonTo === common ? [u] : []))),
      ) * unitOfK.factor;
    quantities.k = {
      value: k.value * unitOfK.factor,
      u: k.u * unitOfK.factor,
      unit: unitOfK.unit.printed,
      uLabels: partOf('kit'),
      uReaction: partOf('reaction'),
    };
  }
  for (const [species, { value, u }] of Object.entries(headline?.orders ?? {}))
    if (u !== null && u > 0 && Number.isFinite(u) && !isWild(value))
      quantities[`order in ${speciesText(species)}`] = { value, u, unit: '' };
  return quantities;
}

function lackOf({ law, experiment, verdict, runs, unsettled }: ExperimentAnalysis): Lack {
  if (!experiment.runs.some(({ readings }) => readings.length > 1)) return { code: 'no-readings' };
  if (!law.ok)
    return law.reason === 'no-concentrations'
      ? { code: 'no-concentrations' }
      : { code: 'refused', reason: law.reason, sentence: law.sentence };
  if (law.accepted) {
    if (verdict.standing === 'does-not-fit') return { code: 'does-not-fit', reasons: verdict.reasons };
    if (flagsDecide(unsettled)) return { code: 'unsettled', count: unsettled.count, runs: unsettled.runs };
    // A half order that is not told from saturation is none.
    if (verdict.reasons.some(({ code }) => code === 'levels-off')) return { code: 'no-simple-order' };
    const open = verdict.reasons.find((reason) => reason.code === 'constant-open');
    if (open) return open;
    const late = lateRuns(runs);
    return late.length > 0 ? { code: 'late-rates', runs: late } : { code: 'no-uncertainty' };
  }
  return law.problems.length > 0
    ? { code: 'open-order', species: law.problems.map(({ species }) => species) }
    : { code: 'no-simple-order' };
}

function rowsOf({ runs }: ExperimentAnalysis, setting: LawSetting): readonly LawRow[] {
  return lawRows(runs, setting).filter(({ rate, uRate }) => rate > 0 && (uRate ?? 0) > 0);
}

/** Sums over the times from the first reading of each run and over the volumes: null without readings. */
function readingsSum({ runs }: Experiment): string | null {
  if (!runs.some(({ readings }) => readings.length > 0)) return null;
  const sumOver = (value: (reading: RunReading, first: number) => number): string =>
    checksumOf(
      runs
        .map(({ readings }) => readings.map((reading) => Math.round(value(reading, readings[0]?.timeS ?? 0))).join())
        .join(';'),
    );
  return `${sumOver(({ timeS }, first) => 1000 * (timeS - first))}-${sumOver(({ volumeM3 }) => 1e12 * volumeM3)}`;
}

function doneOf(state: NotebookState, { experiment }: NotebookExperiment, { runs }: ExperimentAnalysis): RunDone[] {
  const names = new Map(
    [...(state.plan?.stocks ?? []), ...(state.plan?.dilutions ?? [])].map((solution) => [solution.id, solution.name]),
  );
  return state.runs.map((run, i) => {
    const data = experiment.runs[i];
    const analysed = runs[i];
    const aside = data?.readings.filter((reading) => reading.setAside !== undefined).length ?? 0;
    return {
      label: data?.label ?? run.label,
      volumesMl: Object.fromEntries(
        pouredVolumes(state, run).map(({ solution, volumeMl }) => [names.get(solution) ?? solution, volumeMl]),
      ),
      temperatureC: data?.temperatureK ? Number((data.temperatureK.value - 273.15).toFixed(2)) : null,
      headspaceCounts: data?.gas?.back !== undefined,
      used: (data?.readings.length ?? 0) - aside,
      setAside: aside,
      doubtful: analysed?.ok ? analysed.flags.length : 0,
    };
  });
}
