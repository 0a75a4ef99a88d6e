import { ceilingOf } from '../analysis/gas-frame.ts';
import type { Experiment, KnownTo, RunData, SolidReagent } from '../analysis/run-data.ts';
import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import { boreOf } from '../chemistry/gas.ts';
import { weighedG } from '../chemistry/solids.ts';
import type { NotebookState } from '../log/state.ts';
import { nth } from '../numerics/nth.ts';
import type { Cell, Table } from '../results/table.ts';
import { type CsvCell, csvText, type DecimalSign } from './csv.ts';

/**
 * Every reading as CSV, with what `npm run rates` needs to find the same law: the names of the columns are those that
 * it reads, the ends of the names are UCUM codes. Set-aside and struck readings stay in, with their status, which the
 * command obeys. The standard uncertainties of what was poured, of temperature, pressure, scale and activation energy
 * are columns of their own, so that u(k) from the table is that of the notebook.
 *
 * @param table `readingsTable` of the state
 * @param experiment `experimentOf` the state
 */
export function readingsCsv(
  state: NotebookState,
  table: Table,
  experiment: Experiment,
  decimal: DecimalSign = '.',
): string {
  const runOfRow = state.runs.flatMap((run, i) => run.readings.map(() => experiment.runs[i]));
  const place = new Map(table.columns.map((column, i) => [column.key, i]));
  const at = (row: readonly Cell[], key: string): Cell => nth(row, place.get(key) ?? -1);
  const text = (row: readonly Cell[], key: string): CsvCell => {
    const cell = at(row, key);
    return { text: cell.kind === 'text' ? cell.text : '' };
  };
  const figure = (row: readonly Cell[], key: string, part: 'value' | 'u'): CsvCell => {
    const cell = at(row, key);
    return number(cell.kind === 'figure' ? cell[part] : null);
  };
  const columns: RowColumn[] = [
    ['run', (_, run) => ({ text: run?.label ?? '' })],
    ['time_s', (row) => figure(row, 'time', 'value')],
    ['volume_mL', (row) => figure(row, 'volume', 'value')],
    ['baseline_mL', (_, run) => number(run?.baselineM3?.value, 1e6)],
    ['status', (row) => text(row, 'status')],
    ['reading', (row) => text(row, 'reading')],
    ['u_time_s', (row) => figure(row, 'time', 'u')],
    ['u_volume_mL', (row) => figure(row, 'volume', 'u')],
    ['as_taken', (row) => text(row, 'as_said')],
    ['heard', (row) => text(row, 'heard')],
    ['timed_by', (row) => text(row, 'timed_by')],
    ['reason', (row) => text(row, 'reason')],
    ['changes', (row) => text(row, 'changes')],
    ...ofRuns(experiment).map(([name, cell]): RowColumn => [name, (_, run) => (run ? cell(run) : number(null))]),
  ];
  const rows = table.rows.map((row, i) => columns.map(([, cell]) => cell(row, runOfRow[i])));
  return csvText([columns.map(([name]) => ({ text: name })), ...rows], decimal);
}

type RowColumn = readonly [name: string, cell: (row: readonly Cell[], run: RunData | undefined) => CsvCell];
type RunColumn = readonly [name: string, cell: (run: RunData) => CsvCell];

/** What holds for a whole run, of the columns that any run has. */
function ofRuns({ runs, activationJPerMol }: Experiment): RunColumn[] {
  const species = [...new Set(runs.flatMap((run) => Object.keys(run.concentrations ?? {})))];
  const solids = [...new Set(runs.flatMap((run) => Object.keys(run.solids ?? {})))];
  const columns: RunColumn[] = [
    ...species.map((name): RunColumn => [`conc_${name}_M`, (run) => number(run.concentrations?.[name]?.value, 1e-3)]),
    ...species.flatMap((name): RunColumn[] => [
      [`u_conc_${name}_M`, (run) => number(run.concentrations?.[name]?.u || null, 1e-3)],
      [`u_stock_${name}_percent`, (run) => number(run.concentrations?.[name]?.uCommonRelative || null, 100)],
    ]),
    ...solids.flatMap((name): RunColumn[] => [
      [`mass_${name}_g`, ({ solids: own }) => number(own?.[name] && gramsOf(own[name]))],
      [
        `u_mass_${name}_g`,
        ({ solids: own }) => number((own?.[name] && gramsOf({ ...own[name], mol: own[name].u })) || null),
      ],
      [`u_mass_${name}_percent`, ({ solids: own }) => number(own?.[name]?.uCommonRelative || null, 100)],
      [`purity_${name}_percent`, ({ solids: own }) => number(stated(own?.[name]?.purity), 100)],
      [`u_purity_${name}_percent`, ({ solids: own }) => number(purityUncertainty(own?.[name]) || null, 100)],
      [`pieces_${name}`, ({ solids: own }) => ({ text: own?.[name]?.pieces ?? '' })],
    ]),
    ['u_baseline_mL', (run) => number(run.baselineM3?.u || null, 1e6)],
    ['u_scale_percent', (run) => number(run.gainURelative || null, 100)],
    // Where it follows from the columns beside it, it is left out: stated, it would no longer move with their uncertainties.
    ['ceiling_mL', (run) => number(run.gas || run.ceilingTiedBy ? null : ceilingOf(run)?.value, 1e6)],
    ['temperature_Cel', (run) => number(run.temperatureK && run.temperatureK.value - CELSIUS_ZERO_K)],
    ['u_temperature_Cel', (run) => number(run.temperatureK?.u || null)],
    ['pressure_hPa', (run) => number(run.gas?.pressurePa.value, 1e-2)],
    ['u_pressure_hPa', (run) => number(run.gas?.pressurePa.u || null, 1e-2)],
    ['solution_mL', (run) => number(run.gas?.solutionM3.value ?? run.limits?.solutionM3, 1e6)],
    ['u_solution_mL', (run) => number(run.gas?.solutionM3.u || null, 1e6)],
    ['limiting', (run) => ({ text: run.gas?.limiting ?? run.limits?.limiting ?? '' })],
    ['gas_per_limiting', (run) => number(run.gas?.gasPerLimiting)],
    ['gas', (run) => ({ text: run.gas?.dissolved?.stated.gas ?? '' })],
    ['water', (run) => ({ text: run.gas?.dissolved?.stated.water ?? '' })],
    ['water_mL', (run) => number(run.gas?.dissolved?.stated.waterM3, 1e6)],
    ['headspace', (run) => number(run.gas?.headspaceRelative || null)],
    ['headspace_mL', (run) => number(run.gas?.back?.headspaceM3, 1e6)],
    ['cylinder_bore_mm', (run) => number(run.gas?.back && boreOf(run.gas.back), 1e3)],
    ['u_headspace_mL', ({ gas }) => number(gas?.back && ofItself(gas.back.headspaceM3, gas.uBack?.headspace), 1e6)],
    ['u_cylinder_bore_mm', ({ gas }) => number(gas?.back && ofItself(boreOf(gas.back), gas.uBack?.bore), 1e3)],
    ['activation_J_mol', () => number(activationJPerMol?.value)],
    ['u_activation_J_mol', () => number(activationJPerMol?.u || null)],
    ['step_mL', (run) => number(run.stepM3, 1e6)],
    ['estimator', (run) => ({ text: run.chosen ?? '' })],
  ];
  const empty = (cell: CsvCell): boolean => ('text' in cell ? cell.text === '' : cell.number === null);
  return columns.filter(([, cell]) => runs.some((run) => !empty(cell(run))));
}

/** What was weighed, to the fifteenth digit: computed back from the amount. */
const gramsOf = (solid: SolidReagent): number => Number(weighedG({ purity: 1, ...solid }).toPrecision(15));

/** A purity of all is what counts where none is stated. */
const stated = (purity: number | undefined): number | null => (purity === undefined || purity === 1 ? null : purity);

const purityUncertainty = (solid: SolidReagent | undefined): number =>
  solid ? (solid.uPurityRelative ?? 0) * (solid.purity ?? 1) : 0;

/** A standard uncertainty in the unit of the value; null where it is taken as exact. */
const ofItself = (value: number, known: KnownTo | undefined): number | null => value * (known?.relative ?? 0) || null;

/** In the unit of the column; what scaling adds at the sixteenth digit is taken off. */
function number(value: number | null | undefined, factor = 1): CsvCell {
  if (value === null || value === undefined || !Number.isFinite(value)) return { number: null };
  return { number: String(factor === 1 ? value : Number((value * factor).toPrecision(15))) };
}
