import { withDissolved } from '../analysis/dissolved-gas.ts';
import { assumedBaseline, possibleStart, unstated } from '../analysis/entered-run.ts';
import type { LawRow } from '../analysis/law-row.ts';
import type {
  Concentration,
  Dissolving,
  Experiment,
  GasFrame,
  RunData,
  RunReading,
  SolidReagent,
} from '../analysis/run-data.ts';
import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import { levelRise } from '../chemistry/gas.ts';
import { solidAmount } from '../chemistry/solids.ts';
import { type Refusal, refusal, type Sentences } from '../log/refusal.ts';
import { nth } from '../numerics/nth.ts';
import { type InputKind, implausible } from '../planning/plausible-input.ts';
import { csvNumber, type DecimalSign, readCsv, type Separator } from './csv.ts';
import { tableRefusals as t } from './table-refusals.ts';
import { inBoth, passedOver, tableSlips } from './table-slips.ts';

/** A table of readings, or a table of starting rates. */
export type RatesTable =
  | {
      readonly ok: true;
      readonly kind: 'readings';
      readonly experiment: Experiment;
      readonly notes: readonly Sentences[];
    }
  | { readonly ok: true; readonly kind: 'rates'; readonly rows: readonly LawRow[]; readonly rounding: boolean }
  | Refusal;

const fixedColumns = [
  'run',
  'time_s',
  'volume_ml',
  'u_time_s',
  'u_volume_ml',
  'baseline_ml',
  'ceiling_ml',
  'start_s',
  'rate',
  'u_rate',
  'status',
  'temperature_cel',
  'pressure_hpa',
  'solution_ml',
  'limiting',
  'gas_per_limiting',
  'gas',
  'water',
  'water_ml',
  'headspace',
  'headspace_ml',
  'cylinder_bore_mm',
  'activation_j_mol',
  'step_ml',
  'estimator',
  'u_baseline_ml',
  'u_ceiling_ml',
  'u_temperature_cel',
  'u_pressure_hpa',
  'u_solution_ml',
  'u_scale_percent',
  'u_headspace_ml',
  'u_cylinder_bore_mm',
  'u_activation_j_mol',
] as const;
type FixedColumn = (typeof fixedColumns)[number];

/**
 * A CSV table into what the computation takes.
 *
 * Readings: columns `run,time_s,volume_mL`, and where wanted `u_time_s`, `u_volume_mL` (standard uncertainties; without
 * them the fits are unweighted and use the scatter), `baseline_mL` (reading before mixing), `ceiling_mL` (gas that full
 * conversion makes, from the baseline), `start_s` (moment at which no gas had come yet, the cylinder still at its baseline:
 * the first-order curve is then held to that point; 0 where the clock started with the reaction), `conc_NAME_M` (starting concentration of NAME, mol/L), `status` ("struck": the row
 * does not count; "set aside": it is kept out of the fits; anything else: used), as the saved readings of a notebook have it.
 * For rates in mol/(L s) as well: `temperature_Cel`, `pressure_hPa` (of the collected moist gas), `solution_mL`, `limiting`
 * (NAME of the reagent that runs out first), `gas_per_limiting` (mol of gas per mol of it), where `gas` is CO2, which dissolves,
 * `water` (what it stands on: fresh, saturated or none) and `water_mL` (how much of it), and, where the rising level
 * presses on the gas, `headspace_mL` (gas above the reaction) and `cylinder_bore_mm`, or in place of the two `headspace`
 * (relative correction of the starting rate). Also `activation_J_mol` (for runs at different temperatures),
 * `step_mL` (distance of the called marks) and `estimator` (line, quadratic or firstOrder, where one is wanted whatever
 * is recommended).
 * A solid reagent has no concentration: `mass_NAME_g` (what was weighed; NAME is a species that the app knows, such as Mg or
 * CaCO3), `purity_NAME_percent` (by mass; all of it without one) and `pieces_NAME` (what its pieces are like, in words); `limiting` may name it.
 * Standard uncertainties of what is the same for a run: `u_conc_NAME_M` (this run's own: measuring out), `u_stock_NAME_percent`
 * (of the stock that all runs share), `u_mass_NAME_g` (of weighing), `u_mass_NAME_percent` (that all runs share: the mass per
 * length of a ribbon), `u_purity_NAME_percent`, `u_baseline_mL`, `u_ceiling_mL`, `u_temperature_Cel`, `u_pressure_hPa`,
 * `u_solution_mL`, `u_scale_percent` (of the cylinder's scale), `u_headspace_mL`, `u_cylinder_bore_mm`, `u_activation_J_mol`. An input without
 * one is taken as exact; the answer lists which were.
 * Starting rates: columns `run,rate,conc_NAME_M…`, and where wanted `u_rate`.
 *
 * Columns in any order, names in any case, others are passed over; without the column run all rows are one run (of a
 * table of rates, each row is one). RFC 4180 quoting, byte-order mark, any line ends;
 * semicolons or tabs as separators, and then decimal commas, are understood. What is the same for a whole run (baseline,
 * ceiling, start, concentrations) may stand in every row or in one; rows that contradict one another are refused.
 *
 * @returns a refusal with the line number for anything that cannot be read
 */
export function ratesTable(text: string): RatesTable {
  const read = readCsv(text);
  if (!read.ok) return read;
  const [header, ...rows] = read.rows;
  const lines = read.lines.slice(1);
  if (!header) return refusal(t.empty);
  const named = columnsOf(header);
  if (!named.ok) return named;
  const { columns, species, solids } = named;
  if (columns.size === 0 && species.length === 0) return refusal(t.noColumns(read.lines[0]));
  if (rows.length === 0) return refusal(t.noRows);
  const wrong = wrongRow(rows, lines, header.length, read.separator === ',' && read.decimal === ',');
  if (wrong !== null) return refusal(wrong);
  const table: Table = { rows, lines, columns, species, solids, decimal: read.decimal, separator: read.separator };
  const dotted = dottedThousands(table, header.length);
  if (dotted) return refusal(dotted);
  if (columns.has('rate') && !columns.has('volume_ml')) return ratesOf(table);
  const missing = (['time_s', 'volume_ml'] as const).filter((name) => !columns.has(name));
  if (missing.length > 0) return refusal(t.lacks(missing.map((name) => name.replace('ml', 'mL'))));
  const found = readingsOf(table);
  if (!found.ok || found.kind !== 'readings') return found;
  const unread = passedOver(header, isColumn);
  const { refused, notes } = tableSlips(found.experiment.runs);
  if (refused) return refusal(refused);
  return { ...found, notes: [...found.notes, ...notes, ...(unread ? [unread] : [])] };
}

const isColumn = (name: string): boolean =>
  fixedColumns.some((column) => column === name.toLowerCase()) ||
  substanceColumnNames.some((one) => substanceColumns[one].test(name));

/** Columns that name a substance. */
const substanceColumns = {
  conc: /^conc_(.+)_M$/i,
  uConc: /^u_conc_(.+)_M$/i,
  uStock: /^u_stock_(.+)_percent$/i,
  mass: /^mass_(.+)_g$/i,
  uMass: /^u_mass_(.+)_g$/i,
  uMassShared: /^u_mass_(.+)_percent$/i,
  purity: /^purity_(.+)_percent$/i,
  uPurity: /^u_purity_(.+)_percent$/i,
  pieces: /^pieces_(.+)$/i,
} as const;
type SubstanceColumn = keyof typeof substanceColumns;
const substanceColumnNames = Object.keys(substanceColumns) as SubstanceColumn[];
/** By column, where it stands for each substance. */
type Places = Readonly<Record<SubstanceColumn, Map<string, number>>>;

type Named =
  | {
      readonly ok: true;
      readonly columns: Map<FixedColumn, number>;
      readonly species: readonly SpeciesColumns[];
      readonly solids: readonly SolidColumns[];
    }
  | Refusal;

/** Where the columns stand, by the header. */
function columnsOf(header: readonly string[]): Named {
  const columns = new Map<FixedColumn, number>();
  const places: Places = {
    conc: new Map(),
    uConc: new Map(),
    uStock: new Map(),
    mass: new Map(),
    uMass: new Map(),
    uMassShared: new Map(),
    purity: new Map(),
    uPurity: new Map(),
    pieces: new Map(),
  };
  for (const [i, cell] of header.entries()) {
    const name = oneLine(cell);
    const kind = substanceColumnNames.find((one) => substanceColumns[one].test(name));
    const substance = kind && substanceColumns[kind].exec(name)?.[1];
    // A name such as "constructor" or "__proto__" is one that every object has of itself.
    if (substance !== undefined && substance in Object.prototype) return refusal(t.noName(name, substance));
    const known = fixedColumns.find((column) => column === name.toLowerCase());
    if ((kind && substance !== undefined && places[kind].has(substance)) || (known && columns.has(known)))
      return refusal(t.twice(name));
    if (kind && substance !== undefined) places[kind].set(substance, i);
    else if (known) columns.set(known, i);
  }
  const stray = strayColumn(places);
  if (stray) return stray;
  const { conc, uConc, uStock, mass, uMass, uMassShared, purity, uPurity, pieces } = places;
  return {
    ok: true,
    columns,
    species: [...conc].map(([name, column]) => ({ name, column, u: uConc.get(name), uStock: uStock.get(name) })),
    solids: [...mass].map(([name, column]) => ({
      name,
      column,
      u: uMass.get(name),
      uShared: uMassShared.get(name),
      purity: purity.get(name),
      uPurity: uPurity.get(name),
      pieces: pieces.get(name),
    })),
  };
}

/** A column that belongs to one which is not there, or a solid whose molar mass is not known. */
function strayColumn({
  conc,
  uConc,
  uStock,
  mass,
  uMass,
  uMassShared,
  purity,
  uPurity,
  pieces,
}: Places): Refusal | null {
  const lacks = (of: Map<string, number>, ...columns: readonly Map<string, number>[]): string | undefined =>
    columns.flatMap((column) => [...column.keys()]).find((name) => !of.has(name));
  const stray = lacks(conc, uConc, uStock);
  if (stray !== undefined) return refusal(t.strayUncertainty(stray));
  const straySolid = lacks(mass, uMass, uMassShared, purity, uPurity, pieces);
  if (straySolid !== undefined) return refusal(t.straySolid(straySolid));
  const unknown = [...mass.keys()].find((name) => solidAmount({ species: name, massG: 1 }) === null);
  return unknown === undefined ? null : refusal(t.unknownSolid(unknown));
}

/** What is wrong with the first row that cannot be read as it stands, or null. */
function wrongRow(
  rows: readonly (readonly string[])[],
  lines: readonly number[],
  width: number,
  commasForBoth: boolean,
): Sentences | null {
  const long = rows.findIndex((row) => row.slice(width).some((cell) => cell.trim()));
  if (long >= 0) return t.manyCells(lines[long]);
  const at = commasForBoth ? rows.findIndex((row) => row.some(ambiguous)) : -1;
  return at < 0 ? null : t.ambiguous(lines[at], nth(rows, at).find(ambiguous) ?? '');
}

/** "1,200" between commas: one and a fifth, or twelve hundred? */
const ambiguous = (cell: string): boolean => /^\s*[+-]?\d{1,3}(,\d{3})+\s*$/.test(cell);

/**
 * "1.100" among whole numbers of hundreds, in a table whose columns are apart by semicolons or tabs: thousands marked by a
 * point, or a decimal? The sentence for the first such cell; null where there is none.
 */
function dottedThousands({ rows, lines, decimal, separator }: Table, width: number): Sentences | null {
  if (decimal !== '.' || separator === ',') return null;
  for (let column = 0; column < width; column++) {
    const cells = rows.map((row) => (row[column] ?? '').trim());
    const at = cells.findIndex((cell) => /^[1-9]\d{0,2}\.\d{3}$/.test(cell));
    if (at < 0 || !cells.some((cell) => /^[1-9]\d{2}$/.test(cell))) continue;
    if (cells.every((cell) => cell === '' || /^\d{1,3}(\.\d{3})?$/.test(cell)))
      return t.dotted(lines[at], cells[at] ?? '');
  }
  return null;
}

/** Where a species' concentration stands, and its uncertainties where the table has them. */
interface SpeciesColumns {
  readonly name: string;
  readonly column: number;
  readonly u?: number | undefined;
  readonly uStock?: number | undefined;
}

/** Where a solid's mass stands, and what else the table says of it. */
interface SolidColumns {
  readonly name: string;
  readonly column: number;
  readonly u: number | undefined;
  readonly uShared: number | undefined;
  readonly purity: number | undefined;
  readonly uPurity: number | undefined;
  readonly pieces: number | undefined;
}

interface Table {
  readonly rows: readonly (readonly string[])[];
  /** Line of the file on which each row begins. */
  readonly lines: readonly number[];
  readonly columns: ReadonlyMap<FixedColumn, number>;
  readonly species: readonly SpeciesColumns[];
  readonly solids: readonly SolidColumns[];
  readonly decimal: DecimalSign;
  readonly separator: Separator;
}

/** A quoted cell may hold line ends; a label or a sentence may not. */
const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();

/** Thrown inside this file only, and caught at its doors. */
class BadCell extends Error {
  constructor(readonly sentences: Sentences) {
    super(sentences.en);
  }
}

function cellOf(table: Table, row: number, column: number | undefined): string {
  return column === undefined ? '' : oneLine(nth(table.rows, row)[column] ?? '');
}

/** @param most what is larger is not a measurement */
function numberAt(table: Table, row: number, column: number | undefined, name: string, most = 1e12): number {
  const cell = cellOf(table, row, column);
  const value = csvNumber(cell, table.decimal);
  if (value === null)
    throw new BadCell(
      cell === ''
        ? t.missing(table.lines[row], name)
        : /^\d{1,3}(:\d{2}){1,2}([.,]\d+)?$/.test(cell)
          ? t.clock(table.lines[row], cell, name)
          : t.notNumber(table.lines[row], cell.slice(0, 40), name),
    );
  if (!(Math.abs(value) <= most)) throw new BadCell(t.tooLarge(table.lines[row], name));
  return value;
}

function mustBePlausible(table: Table, row: number, name: string, kind: InputKind, value: number): void {
  const said = inBoth(implausible, kind, value);
  if (said) throw new BadCell(t.slip(table.lines[row], name, said));
}

/** Standard uncertainties of readings that can be true, in s or mL; 0 is "exact". */
const [leastU, mostU] = [1e-12, 1e12];

function uncertaintyAt(table: Table, row: number, column: number | undefined, name: string): number {
  const u = numberAt(table, row, column, name, Number.POSITIVE_INFINITY);
  if (u < 0) throw new BadCell(t.negativeUncertainty(table.lines[row], name));
  if (u !== 0 && !(u >= leastU && u <= mostU)) throw new BadCell(t.uncertainty(table.lines[row], name, u));
  return u;
}

/**
 * A number that holds for the whole run: from any of its rows, the same in all that have it; null in none.
 * @param kind what it must be plausible as
 */
function ofRun(
  table: Table,
  rows: readonly number[],
  column: number | undefined,
  name: string,
  kind?: InputKind,
): number | null {
  let found: number | null = null;
  for (const row of rows) {
    if (cellOf(table, row, column) === '') continue;
    const value = numberAt(table, row, column, name);
    if (kind) mustBePlausible(table, row, name, kind, value);
    if (found !== null && value !== found) throw new BadCell(t.differs(table.lines[row], name));
    found = value;
  }
  return found;
}

/** As `ofRun`, for a standard uncertainty: 0, "exact", where the table has none. */
function uncertaintyOfRun(
  table: Table,
  rows: readonly number[],
  column: number | undefined,
  name: string,
  kind?: InputKind,
): number {
  for (const row of rows) if (cellOf(table, row, column) !== '') uncertaintyAt(table, row, column, name);
  return ofRun(table, rows, column, name, kind) ?? 0;
}

/** Starting concentrations of a run, mol/m3. */
function concentrationsOf(table: Table, rows: readonly number[]): Record<string, Concentration> {
  return Object.fromEntries(
    table.species.flatMap(({ name, column, u, uStock }): [string, Concentration][] => {
      const molar = ofRun(table, rows, column, `conc_${name}_M`, 'molarity');
      if (molar === null) return [];
      const own = uncertaintyOfRun(table, rows, u, `u_conc_${name}_M`);
      const percent = uncertaintyOfRun(table, rows, uStock, `u_stock_${name}_percent`);
      return [[name, { value: molar * 1000, u: own * 1000, uCommonRelative: percent / 100 }]];
    }),
  );
}

/** A gram too much for a flask on a bench: more is a slip of the unit. */
const mostG = 1000;

/** What was weighed of solids for a run. */
function solidsOf(table: Table, rows: readonly number[], label: string): Record<string, SolidReagent> {
  return Object.fromEntries(
    table.solids.flatMap(({ name, column, u, uShared, purity, uPurity, pieces }): [string, SolidReagent][] => {
      const massG = ofRun(table, rows, column, `mass_${name}_g`);
      if (massG === null) return [];
      const uMassG = uncertaintyOfRun(table, rows, u, `u_mass_${name}_g`);
      const purityPercent = ofRun(table, rows, purity, `purity_${name}_percent`, 'purityPercent') ?? undefined;
      const uPurityPercent = uncertaintyOfRun(table, rows, uPurity, `u_purity_${name}_percent`);
      const weighed = { species: name, massG, uMassG, purityPercent, uPurityPercent };
      const amount = massG > mostG ? null : solidAmount(weighed);
      if (!amount) throw new BadCell(t.mass(label, name));
      const percent = uncertaintyOfRun(table, rows, uShared, `u_mass_${name}_percent`);
      const words = rows.map((row) => cellOf(table, row, pieces)).find((cell) => cell !== '');
      return [[name, { ...amount, uCommonRelative: percent / 100, ...(words ? { pieces: words.slice(0, 80) } : {}) }]];
    }),
  );
}

/** Row numbers by run label, in order of appearance; one run, "1", where no column names any. */
function runsOf(table: Table): Map<string, number[]> {
  const runs = new Map<string, number[]>();
  const column = table.columns.get('run');
  if (column === undefined) return new Map([['1', table.rows.map((_, row) => row)]]);
  for (let row = 0; row < table.rows.length; row++) {
    const label = cellOf(table, row, column);
    if (label === '') throw new BadCell(t.missing(table.lines[row], 'run'));
    const own = runs.get(label);
    if (own) own.push(row);
    else runs.set(label, [row]);
  }
  return runs;
}

function readingsOf(table: Table): RatesTable {
  const { columns } = table;
  const notes: Sentences[] = columns.has('run') ? [] : [t.oneRun];
  try {
    const stated = columns.has('u_volume_ml') || columns.has('u_time_s');
    // Of the whole column, so found once and not for each run.
    const resolution = stated
      ? null
      : {
          timeS: lastPlace(table, columns.get('time_s')),
          volumeM3: lastPlace(table, columns.get('volume_ml')) * 1e-6,
        };
    const runs: RunData[] = [];
    for (const [label, rows] of runsOf(table)) {
      const readings = rows.flatMap((row, index): RunReading[] => {
        if (cellOf(table, row, columns.get('status')) === 'struck') return [];
        const uTime = columns.has('u_time_s') ? uncertaintyAt(table, row, columns.get('u_time_s'), 'u_time_s') : null;
        const uVolume = columns.has('u_volume_ml')
          ? uncertaintyAt(table, row, columns.get('u_volume_ml'), 'u_volume_mL')
          : null;
        const reading: RunReading = {
          row: { index, line: nth(table.lines, row) },
          timeS: numberAt(table, row, columns.get('time_s'), 'time_s'),
          volumeM3: numberAt(table, row, columns.get('volume_ml'), 'volume_mL') * 1e-6,
          uTimeS: uTime ?? (stated ? 0 : unstated.timeS),
          uVolumeM3: uVolume === null ? (stated ? 0 : unstated.volumeM3) : uVolume * 1e-6,
          ...(cellOf(table, row, columns.get('status')) === 'set aside' ? { setAside: 'set aside in the table' } : {}),
        };
        return [reading];
      });
      const baseline = ofRun(table, rows, columns.get('baseline_ml'), 'baseline_mL', 'cylinderMl');
      const ceiling = ofRun(table, rows, columns.get('ceiling_ml'), 'ceiling_mL');
      if (ceiling !== null && !(ceiling > 0)) throw new BadCell(t.ceiling(label));
      const concentrations = concentrationsOf(table, rows);
      const solids = solidsOf(table, rows, label);
      const u = (column: FixedColumn, name: string): number => uncertaintyOfRun(table, rows, columns.get(column), name);
      const scale = u('u_scale_percent', 'u_scale_percent') / 100;
      const startS = ofRun(table, rows, columns.get('start_s'), 'start_s');
      const start =
        baseline ??
        (startS !== null
          ? volumeAtMl(readings, startS)
          : columns.has('baseline_ml')
            ? null
            : assumedBaseline(readings));
      if (baseline === null) notes.push(start === null ? t.startsAtFirst(label) : t.startsAtZero(label));
      runs.push({
        label,
        readings,
        ...(start === null
          ? {}
          : { baselineM3: { value: start * 1e-6, u: u('u_baseline_ml', 'u_baseline_mL') * 1e-6 } }),
        ...(startS === null ? possibleStart(readings, start) : { startS }),
        ...(ceiling === null
          ? {}
          : { ceilingM3: { value: ceiling * 1e-6, u: u('u_ceiling_ml', 'u_ceiling_mL') * 1e-6 } }),
        ...(Object.keys(concentrations).length > 0 ? { concentrations } : {}),
        ...(Object.keys(solids).length > 0 ? { solids } : {}),
        ...gasOf(table, rows, label, { ...concentrations, ...solids }),
        ...(scale === 0 ? {} : { gainURelative: scale }),
        uStated: stated,
        ...(resolution ? { resolution } : {}),
      });
    }
    const all = table.rows.map((_, row) => row);
    const dissolving = new Map([...runsOf(table)].map(([label, rows]) => [label, dissolvingOf(table, rows, label)]));
    const withGas = withDissolved(runs, ({ label }) => dissolving.get(label) ?? null);
    const activation = ofRun(table, all, columns.get('activation_j_mol'), 'activation_J_mol', 'activationJPerMol');
    const uActivation = uncertaintyOfRun(table, all, columns.get('u_activation_j_mol'), 'u_activation_J_mol');
    const activationJPerMol = activation === null ? {} : { activationJPerMol: { value: activation, u: uActivation } };
    return { ok: true, kind: 'readings', experiment: { runs: withGas, ...activationJPerMol }, notes };
  } catch (error) {
    if (error instanceof BadCell) return refusal(error.sentences);
    throw error;
  }
}

/** What turns volumes of gas into amounts, as far as it is all there, and how the run was called and is to be fitted. */
function gasOf(
  table: Table,
  rows: readonly number[],
  label: string,
  reagents: Readonly<Record<string, unknown>>,
): Pick<RunData, 'temperatureK' | 'gas' | 'limits' | 'stepM3' | 'chosen'> {
  const cells = cellsOfRun(table, rows);
  const { number, u } = cells;
  const celsius = number('temperature_cel', 'temperature_Cel', 'temperatureC');
  const hPa = number('pressure_hpa', 'pressure_hPa', 'pressureHPa');
  const solutionMl = number('solution_ml', 'solution_mL', 'solutionMl');
  const gasPerLimiting = number('gas_per_limiting', 'gas_per_limiting', 'gasPerLimiting');
  const stepMl = number('step_ml', 'step_mL', 'stepMl');
  const chosen = estimatorOf(cells, label);
  const limiting = cells.word('limiting');
  if (limiting !== '' && !Object.hasOwn(reagents, limiting))
    throw new BadCell(t.limiting(label, limiting.slice(0, 40)));
  if ([solutionMl, gasPerLimiting, stepMl, hPa].some(isNotPositive)) throw new BadCell(t.notPositive(label));
  const headspace = headspaceOf(cells, label);
  const all = celsius !== null && hPa !== null && solutionMl !== null && gasPerLimiting !== null && limiting !== '';
  return {
    ...(celsius === null
      ? {}
      : {
          temperatureK: {
            value: celsius + CELSIUS_ZERO_K,
            u: u('u_temperature_cel', 'u_temperature_Cel', 'uTemperatureC'),
          },
        }),
    ...(stepMl === null ? {} : { stepM3: stepMl * 1e-6 }),
    ...(chosen ? { chosen } : {}),
    ...(all
      ? {
          gas: {
            solutionM3: { value: solutionMl * 1e-6, u: u('u_solution_ml', 'u_solution_mL') * 1e-6 },
            gasPerLimiting,
            limiting,
            pressurePa: { value: hPa * 100, u: u('u_pressure_hpa', 'u_pressure_hPa', 'uPressureHPa') * 100 },
            ...headspace,
          },
        }
      : limitsOf(limiting, solutionMl)),
  };
}

/** Reads the columns that hold for a whole run. */
interface CellsOfRun {
  readonly number: (column: FixedColumn, name: string, kind?: InputKind) => number | null;
  readonly u: (column: FixedColumn, name: string, kind?: InputKind) => number;
  /** The first text of the column; empty where it has none. */
  readonly word: (column: FixedColumn) => string;
}

const cellsOfRun = (table: Table, rows: readonly number[]): CellsOfRun => ({
  number: (column, name, kind) => ofRun(table, rows, table.columns.get(column), name, kind),
  u: (column, name, kind) => uncertaintyOfRun(table, rows, table.columns.get(column), name, kind),
  word: (column) => rows.map((row) => cellOf(table, row, table.columns.get(column))).find((cell) => cell !== '') ?? '',
});

const isNotPositive = (value: number | null): boolean => value !== null && !(value > 0);

function estimatorOf({ word }: CellsOfRun, label: string): RunData['chosen'] {
  const estimator = word('estimator');
  const chosen = (['line', 'quadratic', 'firstOrder'] as const).find((name) => name === estimator);
  if (estimator !== '' && !chosen) throw new BadCell(t.estimator(label));
  return chosen;
}

/** What the gas stands on, where the table says that it is one which dissolves well; null where it says nothing. */
function dissolvingOf(table: Table, rows: readonly number[], label: string): Dissolving | null {
  const { word, number } = cellsOfRun(table, rows);
  const [gas, water] = [word('gas'), word('water')];
  const waterMl = number('water_ml', 'water_mL', 'waterMl');
  if (gas !== '' && !knownGases.has(gas)) throw new BadCell(t.gas(label, gas.slice(0, 40)));
  const kind = (['fresh', 'saturated', 'none'] as const).find((one) => one === water);
  if (water !== '' && !kind) throw new BadCell(t.water(label));
  if (gas !== 'CO2') {
    if (kind || waterMl !== null) throw new BadCell(t.waterWithoutGas(label));
    return null;
  }
  return { gas, ...(kind ? { water: kind } : {}), ...(waterMl === null ? {} : { waterM3: waterMl * 1e-6 }) };
}

const knownGases: ReadonlySet<string> = new Set(['O2', 'H2', 'CO2', 'N2']);

/** The headspace beside the gas, or its volume with the bore of the cylinder, which says how far the water rises. */
function headspaceOf({ number, u }: CellsOfRun, label: string): Pick<GasFrame, 'headspaceRelative' | 'back' | 'uBack'> {
  const relative = number('headspace', 'headspace');
  const volumeMl = number('headspace_ml', 'headspace_mL', 'headspaceMl');
  const boreMm = number('cylinder_bore_mm', 'cylinder_bore_mm', 'boreMm');
  if (relative !== null && !(relative >= 0)) throw new BadCell(t.headspaceNegative(label));
  if ([volumeMl, boreMm].some(isNotPositive)) throw new BadCell(t.headspaceNotPositive(label));
  if ((volumeMl === null) !== (boreMm === null)) throw new BadCell(t.headspaceHalf(label));
  if (volumeMl === null || boreMm === null) return { headspaceRelative: relative ?? 0 };
  if (relative !== null) throw new BadCell(t.headspaceTwice(label));
  return {
    back: { headspaceM3: volumeMl * 1e-6, risePerM3: levelRise(boreMm / 1000) },
    uBack: {
      headspace: { relative: u('u_headspace_ml', 'u_headspace_mL') / volumeMl, supposed: false },
      bore: { relative: u('u_cylinder_bore_mm', 'u_cylinder_bore_mm') / boreMm, supposed: false },
    },
  };
}

/** What is known of the solution where the gas cannot be turned into an amount. */
function limitsOf(limiting: string, solutionMl: number | null): Pick<RunData, 'limits'> {
  if (limiting === '' && solutionMl === null) return {};
  return {
    limits: {
      ...(limiting === '' ? {} : { limiting }),
      ...(solutionMl === null ? {} : { solutionM3: solutionMl * 1e-6 }),
    },
  };
}

/** Cylinder reading at a stated start without a baseline: that of a reading at that moment, else 0 mL. */
function volumeAtMl(readings: readonly RunReading[], startS: number): number {
  return (readings.find((reading) => reading.timeS === startS)?.volumeM3 ?? 0) * 1e6;
}

function ratesOf(table: Table): RatesTable {
  const { columns, species } = table;
  if (species.length === 0) return refusal(t.noConcentrations);
  try {
    const stated = columns.has('u_rate');
    const rateDigits = digitsOf(table, columns.get('rate'));
    const digits = species.map(({ column }) => digitsOf(table, column));
    const rows = table.rows.map((_, row): LawRow => {
      const label = columns.has('run') ? cellOf(table, row, columns.get('run')) : String(row + 1);
      if (label === '') throw new BadCell(t.missing(table.lines[row], 'run'));
      const rate = numberAt(table, row, columns.get('rate'), 'rate');
      const uRate = stated ? numberAt(table, row, columns.get('u_rate'), 'u_rate') : roundingOf(rate, rateDigits(row));
      if (stated && !(uRate > 0)) throw new BadCell(t.rateUncertainty(table.lines[row]));
      if (!(uRate <= 1e6 * Math.abs(rate)) && rate !== 0) throw new BadCell(t.rateUncertaintyLarge(table.lines[row]));
      return {
        label,
        rate,
        uRate,
        dfRate: Number.POSITIVE_INFINITY,
        concentrations: Object.fromEntries(
          species.map(({ name, column, u, uStock }, j) => {
            const value = numberAt(table, row, column, `conc_${name}_M`);
            mustBePlausible(table, row, `conc_${name}_M`, 'molarity', value);
            const own = uncertaintyOfRun(table, [row], u, `u_conc_${name}_M`);
            const percent = uncertaintyOfRun(table, [row], uStock, `u_stock_${name}_percent`);
            const rounding = stated || u !== undefined ? 0 : roundingOf(value, digits[j]?.(row) ?? 15);
            return [name, { value, u: u === undefined ? rounding : own, uCommonRelative: percent / 100 }];
          }),
        ),
      };
    });
    return { ok: true, kind: 'rates', rows, rounding: !stated };
  } catch (error) {
    if (error instanceof BadCell) return refusal(error.sentences);
    throw error;
  }
}

/** The finest decimal place to which a column is written: 0.1 for "20.5". */
function lastPlace(table: Table, column: number | undefined): number {
  let finest = Number.POSITIVE_INFINITY;
  for (let row = 0; row < table.rows.length; row++) {
    const [mantissa = '', power = '0'] = cellOf(table, row, column).toLowerCase().split('e');
    const decimals = mantissa.split(/[.,]/)[1]?.length ?? 0;
    finest = Math.min(finest, 10 ** (Number(power) - decimals));
  }
  return Number.isFinite(finest) ? finest : 0;
}

/**
 * Significant digits of each figure of a column. Where some figure ends in a zero behind the point, zeros were kept and
 * every figure speaks for itself ("1.3" beside "10.0" is known to 0.1). Where none does, a spreadsheet may have dropped
 * them, and the figure with most digits speaks for all.
 */
function digitsOf(table: Table, column: number | undefined): (row: number) => number {
  const mantissas = table.rows.map((_, row) => nth(cellOf(table, row, column).toLowerCase().split('e'), 0));
  const digits = mantissas.map((mantissa) =>
    Math.min(Math.max(mantissa.replace(/[^0-9]/g, '').replace(/^0+/, '').length, 1), 15),
  );
  if (mantissas.some((mantissa) => /[.,]\d*0$/.test(mantissa) && /[1-9]/.test(mantissa)))
    return (row) => nth(digits, row);
  const most = Math.max(...digits);
  return () => most;
}

/** Standard uncertainty left by rounding to so many digits: half a unit of the last place over root 3 (GUM 4.3.7). */
function roundingOf(value: number, digits: number): number {
  if (value === 0) return 0;
  const place = Math.floor(Math.log10(Math.abs(value))) - digits + 1;
  return (0.5 * 10 ** place) / Math.sqrt(3);
}
