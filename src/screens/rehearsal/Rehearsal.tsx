import { createSignal, For, Show } from 'solid-js';
import { callWords } from '../../language/call-words.ts';
import { defaultSetup } from '../../log/setup.ts';
import { rehearsalId } from '../../rehearsal/practice-kind.ts';
import { rehearsalNotebook } from '../../rehearsal/rehearsal.ts';
import { useDesk } from '../desk.tsx';
import { preferences } from '../preferences/device.ts';
import { hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { beginPractice, currentPractice } from './current.ts';
import { practiceRuns, simulated } from './practice-runs.ts';
import { Result } from './Result.tsx';
import { texts } from './texts.ts';

const speeds = [1, 2, 4] as const;

/** Practise calling on a simulated reaction, or watch a simulated caller do it. */
export function Rehearsal() {
  const t = textsOf(texts);
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
      <h1>{t().rehearsal}</h1>
      <Show when={practising()}>{(practice) => <Result practice={practice()} />}</Show>
      <h2>{practising() ? t().again : t().first}</h2>
      <p>{t().what(callWords(preferences().language))}</p>
      <div class="row">
        <label>
          {t().reaction}
          <select onChange={(event) => setChosen(event.currentTarget.selectedIndex)}>
            <For each={runs()}>{({ label }) => <option>{label === null ? t().usual : t().planned(label)}</option>}</For>
          </select>
        </label>
        <label>
          {t().speed}
          <select onChange={(event) => setSpeed(Number(event.currentTarget.value))}>
            <For each={speeds}>{(times) => <option value={times}>{t().speeds[times]}</option>}</For>
          </select>
        </label>
      </div>
      <p class="row">
        <button type="button" class="primary" onClick={() => void begin('person')}>
          {t().iCall}
        </button>
        <button type="button" onClick={() => void begin('self')}>
          {t().showMe}
        </button>
      </p>
    </div>
  );
}

export default Rehearsal;
