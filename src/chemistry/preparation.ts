import { OutOfRange } from '../numerics/errors.ts';
import { pourUncertainty } from './glassware.ts';
import {
  diluteToMark,
  diluteWithWater,
  type Flask,
  type MeasuredVolume,
  mixFlask,
  type PouredSolution,
  type Solution,
} from './mixing.ts';
import { type LabelStrength, strengthToMolPerM3 } from './strength.ts';

/** A bottle; fits the notebook's stock. Volumes in mL here, as a person writes them. */
export interface Bottle {
  readonly id: string;
  readonly name: string;
  readonly species: string;
  readonly strength: LabelStrength;
}

/** Take `takeMl` of `from`, then add water or make up to the mark; fits the notebook's dilution. */
export interface DilutionStep {
  readonly id: string;
  readonly name: string;
  readonly from: string;
  readonly takeMl: number;
  readonly addWaterMl?: number | undefined;
  readonly makeUpToMl?: number | undefined;
  /** Capacity of the vessel that measures what is taken, mL. */
  readonly vesselMl?: number | undefined;
}

/** One solution in a flask; fits the notebook's pour. */
export interface FlaskPour {
  /** Id of a bottle or a dilution, or "water". */
  readonly solution: string;
  readonly volumeMl: number;
  readonly vesselMl?: number | null | undefined;
}

export interface Prepared {
  /** What each bottle and dilution holds, by id. */
  readonly solutions: ReadonlyMap<string, Solution>;
  /** Why one holds nothing that can be used, by id, a sentence each. */
  readonly unknown: ReadonlyMap<string, string>;
  /** How labels were read, a sentence each. */
  readonly remarks: readonly string[];
}

/**
 * What is in the bottles and in the dilutions made from them, in any order and any number of steps. Uncertainties come
 * from the labels and from the measuring cylinders (see glassware.ts).
 * @example
 * const bottle = { id: 'b1', name: 'iodide', species: 'I-', strength: { value: 0.5, unit: 'mol/L' } };
 * prepareSolutions([bottle], []).solutions.get('b1').molPerM3 // => 500
 */
export function prepareSolutions(bottles: readonly Bottle[], dilutions: readonly DilutionStep[]): Prepared {
  const solutions = new Map<string, Solution>();
  const unknown = new Map<string, string>();
  const remarks: string[] = [];
  for (const { id, name, species, strength } of bottles) {
    const result = strengthToMolPerM3(strength, species);
    if (result.ok) {
      solutions.set(id, { species, molPerM3: result.molPerM3, uRelative: result.uRelative });
      for (const remark of result.remarks) if (!remarks.includes(remark)) remarks.push(remark);
    } else {
      unknown.set(id, `${name}: ${result.sentence}`);
    }
  }
  const names = new Map([...bottles, ...dilutions].map(({ id, name }) => [id, name]));
  // A dilution may be made from another one that stands further down: go round until nothing new comes.
  let waiting = [...dilutions];
  for (let found = true; found; ) {
    found = false;
    for (const step of waiting) {
      const source = solutions.get(step.from);
      const reason = unknown.get(step.from);
      if (source) {
        const made = madeBy(step, source);
        if (typeof made === 'string') unknown.set(step.id, `${step.name}: ${made}`);
        else solutions.set(step.id, made);
      } else if (reason) {
        unknown.set(step.id, `${step.name} is made from ${names.get(step.from) ?? step.from}. ${reason}`);
      } else {
        continue;
      }
      found = true;
    }
    waiting = waiting.filter(({ id }) => !solutions.has(id) && !unknown.has(id));
  }
  for (const { id, name, from } of waiting) {
    unknown.set(
      id,
      names.has(from)
        ? `${name} is, step by step, made from itself.`
        : `${name} is made from "${from}", which is not on the sheet.`,
    );
  }
  return { solutions, unknown, remarks };
}

function madeBy(step: DilutionStep, source: Solution): Solution | string {
  const take = measured(step.takeMl, step.vesselMl);
  try {
    return step.makeUpToMl === undefined
      ? diluteWithWater(source, take, measured(step.addWaterMl ?? 0))
      : diluteToMark(source, take, measured(step.makeUpToMl));
  } catch (error) {
    if (error instanceof OutOfRange) return error.sentence;
    throw error;
  }
}

export type FilledFlask =
  | { readonly ok: true; readonly flask: Flask }
  | { readonly ok: false; readonly sentence: string };

/**
 * Starting concentrations in a run's flask from what was planned or poured.
 * @returns a sentence instead when a solution is not known or the flask is empty
 * @example
 * const bottle = { id: 'b1', name: 'iodide', species: 'I-', strength: { value: 0.5, unit: 'mol/L' } };
 * const pours = [{ solution: 'b1', volumeMl: 10 }, { solution: 'water', volumeMl: 15 }];
 * fillFlask(pours, prepareSolutions([bottle], [])).flask.concentrations['I-'].value // => 200
 */
export function fillFlask(pours: readonly FlaskPour[], prepared: Prepared): FilledFlask {
  const parts: PouredSolution[] = [];
  for (const { solution, volumeMl, vesselMl } of pours) {
    if (volumeMl === 0) continue;
    if (!(volumeMl > 0) || !Number.isFinite(volumeMl)) return { ok: false, sentence: 'A volume cannot be negative.' };
    const volume = measured(volumeMl, vesselMl ?? undefined);
    const known = solution === 'water' ? solution : prepared.solutions.get(solution);
    if (known === undefined) {
      return { ok: false, sentence: prepared.unknown.get(solution) ?? `"${solution}" is not on the sheet.` };
    }
    parts.push({ solution: known, volume });
  }
  if (parts.length === 0) return { ok: false, sentence: 'There is nothing in the flask.' };
  return { ok: true, flask: mixFlask(parts) };
}

function measured(ml: number, vesselMl?: number): MeasuredVolume {
  const m3 = ml * 1e-6;
  return { m3, u: pourUncertainty(m3, vesselMl === undefined ? undefined : vesselMl * 1e-6) };
}
