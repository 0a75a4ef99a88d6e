import { ratesOfFile } from '../../src/commands/rates.ts';
import { randomOf, type Scenario, simulate } from './kinetics-simulator.ts';

/**
 * Seconds of processor for tables of many runs and for one run of many readings, and the power with which they grow from
 * one size to the next: 1 is linear. `--quick` stops at a tenth.
 */

const quick = process.argv.includes('--quick');

/** A table of simulated runs, as `npm run rates` reads it. */
function tableOf(runs: number, readings: number, stated: boolean): string {
  const random = randomOf(5);
  const many = readings > 100;
  const scenario: Scenario = { title: '', readings, stepMl: many ? 20 / readings : 2, stated };
  const columns = ['run', 'time_s', 'volume_mL', 'conc_A_M', 'conc_B_M', 'baseline_mL', 'temperature_Cel'];
  const more = ['pressure_hPa', 'solution_mL', 'limiting', 'gas_per_limiting'];
  const uncertain = stated ? ['u_time_s', 'u_volume_mL', 'u_baseline_mL'] : [];
  const lines = [[...columns, ...more, ...uncertain].join(',')];
  const places = many ? 4 : 1;
  for (let run = 1; run <= runs; run++) {
    const [a, b] = [0.1 + 0.25 * random.uniform(), 0.05 + 0.15 * random.uniform()];
    const [data] = simulate({ ...scenario, runs: [[a, b]] }, run).experiment.runs;
    const same = `${a.toFixed(4)},${b.toFixed(4)},10,25,1013.25,50,A,0.5${stated ? ',0.1,0.1,0.1' : ''}`;
    for (const { timeS, volumeM3 } of data?.readings ?? [])
      lines.push(`${run},${timeS.toFixed(places)},${(volumeM3 * 1e6).toFixed(places)},${same}`);
  }
  return lines.join('\n');
}

function secondsOf(table: string): number {
  const before = process.cpuUsage();
  const answer = ratesOfFile(table);
  if (!answer.ok) throw new Error(answer.sentence);
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}

function grow(what: string, sizes: readonly number[], table: (size: number) => string): void {
  let last: { size: number; seconds: number } | null = null;
  for (const size of sizes) {
    const seconds = secondsOf(table(size));
    const power = last && Math.log(seconds / last.seconds) / Math.log(size / last.size);
    const grown = power === null ? '' : `, grows with the power ${power.toFixed(2)}`;
    console.log(`${what}, ${size}: ${seconds.toFixed(1)} s${grown}`);
    last = { size, seconds };
  }
}

const upTo = (sizes: readonly number[]): readonly number[] => (quick ? sizes.slice(0, -1) : sizes);
secondsOf(tableOf(100, 11, true));
for (const stated of [true, false]) {
  const given = stated ? 'uncertainties stated' : 'nothing stated';
  grow(`runs of 11 readings, ${given}`, upTo([300, 1_000, 10_000]), (size) => tableOf(size, 11, stated));
  grow(`readings in one run, ${given}`, upTo([3_000, 10_000, 100_000]), (size) => tableOf(1, size, stated));
}
