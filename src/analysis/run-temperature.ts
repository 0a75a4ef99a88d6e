import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import type { NotebookState, Run } from '../log/state.ts';
import { plannedRunOf } from './poured.ts';
import type { Measured } from './run-data.ts';

/** A thermometer good to one degree, evenly likely within: 1/sqrt(3) K. */
const usualThermometerK = 1 / Math.sqrt(3);

/** Mean temperature and drift: as called for the run, else as planned, else as set up. */
export function temperatureOf(state: NotebookState, run: Run): { mean: Measured; driftKPerS: number } | null {
  const u = state.setup.uTemperatureC ?? usualThermometerK;
  const called = calledOf(run);
  const during = called.filter(({ timeS }) => timeS >= run.startedMs / 1000);
  const used = during.length > 0 ? during : called;
  if (used.length > 0) {
    const mean = used.reduce((sum, { kelvin }) => sum + kelvin, 0) / used.length;
    return { mean: { value: mean, u }, driftKPerS: driftOf(during) };
  }
  const celsius = plannedRunOf(state.plan, run.label)?.temperatureC ?? state.setup.temperatureC;
  return celsius === undefined ? null : { mean: { value: celsius + CELSIUS_ZERO_K, u }, driftKPerS: 0 };
}

/** Whether temperatures called during the run tell how it warmed or cooled: two of them, half a minute apart. */
export const tellsDrift = (run: Run): boolean =>
  farApart(calledOf(run).filter(({ timeS }) => timeS >= run.startedMs / 1000));

interface CalledTemperature {
  readonly timeS: number;
  readonly kelvin: number;
}

const calledOf = (run: Run): CalledTemperature[] =>
  run.timed.flatMap((event) =>
    event.kind === 'temperature' ? [{ timeS: event.timeMs / 1000, kelvin: Number(event.value) + CELSIUS_ZERO_K }] : [],
  );

function farApart(called: readonly CalledTemperature[]): boolean {
  const times = called.map(({ timeS }) => timeS);
  return called.length >= 2 && Math.max(...times) - Math.min(...times) >= 30;
}

/** Slope of the temperatures called during the run, K/s; 0 where they do not tell one. */
function driftOf(called: readonly CalledTemperature[]): number {
  if (!farApart(called)) return 0;
  const times = called.map(({ timeS }) => timeS);
  const meanT = times.reduce((a, b) => a + b, 0) / times.length;
  const meanK = called.reduce((sum, { kelvin }) => sum + kelvin, 0) / called.length;
  let top = 0;
  let bottom = 0;
  for (const { timeS, kelvin } of called) {
    top += (timeS - meanT) * (kelvin - meanK);
    bottom += (timeS - meanT) ** 2;
  }
  return top / bottom;
}
