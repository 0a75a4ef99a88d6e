import { createSignal, For, Show } from 'solid-js';
import { defaultSetup } from '../../log/setup.ts';
import { rehearsalId } from '../../rehearsal/practice-kind.ts';
import { rehearsalNotebook } from '../../rehearsal/rehearsal.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';
import { beginPractice, currentPractice } from './current.ts';
import { practiceRuns, simulated } from './practice-runs.ts';
import { Result } from './Result.tsx';

/** Practise calling on a simulated reaction, or watch a simulated caller do it. */
export function Rehearsal() {
  const desk = useDesk();
  const [chosen, setChosen] = createSignal(0);
  const [speed, setSpeed] = createSignal(1);
  const practising = () => {
    const practice = currentPractice();
    return practice && practice.notebook === desk.journal()?.id ? practice : null;
  };
  // A rehearsal of a rehearsal is made of the same setup; its notebook has no plan.
  const state = () => desk.state();
  const runs = () => practiceRuns(state()?.plan ?? null, state()?.setup ?? null);

  const begin = async (caller: 'person' | 'self'): Promise<void> => {
    const run = runs()[chosen()] ?? runs()[0];
    if (!run) return;
    const cameFrom = practising()?.cameFrom ?? desk.journal()?.id ?? null;
    const { uCallMs: _u, callDelayMs: _d, ...setup } = state()?.setup ?? defaultSetup;
    const id = rehearsalId();
    const seed = crypto.getRandomValues(new Uint32Array(1))[0] ?? 1;
    await desk.keep(rehearsalNotebook(id, setup, seed, Date.now()));
    beginPractice({ notebook: id, run: simulated(run, speed()), caller, cameFrom });
    location.hash = hrefOf('bench');
  };

  return (
    <div class="rehearsal">
      <h1>Rehearsal</h1>
      <Show when={practising()}>{(practice) => <Result practice={practice()} />}</Show>
      <h2>{practising() ? 'Once more' : 'Practise before it counts'}</h2>
      <p>
        A simulated reaction drips water into a drawn cylinder. Call it as you would at the bench: “start run one”, then
        each mark as the water reaches it, then “end run”. Afterwards you see how early or late your calls were. A
        rehearsal has a notebook of its own, marked as invented; it never mixes with your readings.
      </p>
      <div class="row">
        <label>
          What to rehearse
          <select onChange={(event) => setChosen(event.currentTarget.selectedIndex)}>
            <For each={runs()}>{(run) => <option>{run.name}</option>}</For>
          </select>
        </label>
        <label>
          How fast
          <select onChange={(event) => setSpeed(Number(event.currentTarget.value))}>
            <option value="1">as in the flask</option>
            <option value="2">twice as fast</option>
            <option value="4">four times as fast</option>
          </select>
        </label>
      </div>
      <p class="row">
        <button type="button" class="primary" onClick={() => void begin('person')}>
          I call
        </button>
        <button type="button" onClick={() => void begin('self')}>
          Show me: a simulated caller calls
        </button>
      </p>
    </div>
  );
}

export default Rehearsal;
