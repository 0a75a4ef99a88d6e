import { noticeableWarming, type Reaction, type Warming, warmingText } from '../chemistry/reactions.ts';
import type { Run } from '../log/state.ts';
import { nth } from '../numerics/nth.ts';
import { displacedAtLast } from './displaced-at-last.ts';
import { gasPerVolume, growthPerM3 } from './gas-frame.ts';
import { atStartPressure } from './rising-head.ts';
import type { RunData } from './run-data.ts';
import { tellsDrift } from './run-temperature.ts';

/**
 * Names, in one sentence or two, the runs that may have warmed themselves enough to matter while the called temperatures do
 * not show whether they did.
 *
 * @param data of `runs`, in their order
 * @returns null where there is none, or the heat of the reaction is not known
 */
export function warmingNote(reaction: Reaction, data: readonly RunData[], runs: readonly Run[]): string | null {
  const found = data.flatMap((run, i) => {
    const warming = tellsDrift(nth(runs, i)) ? null : warmingOf(reaction, run);
    return warming ? [{ label: run.label, warming }] : [];
  });
  const most = found.map(({ warming }) => warming).sort((a, b) => b.riseK - a.riseK)[0];
  if (!most) return null;
  const labels = found.map(({ label }) => label).join(', ');
  const [who, own, whom] = found.length === 1 ? ['Run', 'its', 'it'] : ['Runs', 'their', 'them'];
  // Without an activation energy nobody can say what a drift does to the rate.
  const effect = most.fasterBy === null ? '' : ', and the warming would be allowed for';
  return `${who} ${labels}: by the last reading ${own} own heat can have warmed ${whom} by ${warmingText(most, whom)}, and temperatures were not called at two moments of the run. Called at its start and at its end, they would tell${effect}.`;
}

/** Up to the last reading, if all the heat stayed in the liquid. */
function warmingOf(reaction: Reaction, run: RunData): Warming | null {
  const density = gasPerVolume(run);
  if (!density || !run.gas || !run.temperatureK) return null;
  const gasMol = density.value * atStartPressure(growthPerM3(run), displacedAtLast(run));
  return noticeableWarming(reaction, gasMol, run.gas.solutionM3.value, run.temperatureK.value);
}
