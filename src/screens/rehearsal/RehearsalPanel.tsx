import { createEffect, on, onCleanup, onMount } from 'solid-js';
import { dayLanguage, type PageLanguage } from '../../language/page-language.ts';
import { createRandom } from '../../numerics/random.ts';
import { makeCaller } from '../../rehearsal/caller.ts';
import { callerScript, usualCaller } from '../../rehearsal/caller-script.ts';
import { levelAt, rehearsedTiming } from '../../rehearsal/rehearsal.ts';
import { timingTexts } from '../../rehearsal/timing-texts.ts';
import type { BenchSession } from '../bench/bench-session.ts';
import { sectionOf } from '../bench/cylinder-scale.ts';
import { useDesk } from '../desk.tsx';
import { germanSoon } from '../german.ts';
import { preferences } from '../preferences/device.ts';
import { hrefOf } from '../route.ts';
import { stateOf } from '../state-of.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import type { Practice } from './current.ts';
import { texts } from './texts.ts';
import { Vessel } from './Vessel.tsx';

/** On the bench, in the place of the log's cylinder: the simulated one, and the simulated caller when there is one. */
export function RehearsalPanel(props: { practice: Practice; bench: BenchSession }) {
  const t = textsOf(texts);
  const state = stateOf(useDesk());

  let gone = false;
  let caller: ReturnType<typeof makeCaller> | null = null;
  let closeDoor = (): void => undefined;
  onCleanup(() => {
    gone = true;
    caller?.stop();
    closeDoor();
  });
  onMount(async () => {
    const { practice, bench } = props;
    if (practice.caller !== 'self' || state().runs.length > 0) return;
    const { setup, seed } = state();
    const door = await bench.door();
    if (gone) return;
    door.open();
    closeDoor = door.close;
    caller = makeCaller(door);
    const script = callerScript({
      run: practice.run,
      label: '1',
      stepMl: setup.stepMl,
      spanMl: setup.spanMl,
      fromMs: performance.now() + 1500,
      habit: usualCaller,
      random: createRandom(seed),
    });
    for (const line of script.lines) caller.say(line);
  });

  // The result is spoken when a run ends: nobody has to touch anything to learn it.
  createEffect(
    on(
      () => state().openRun,
      async (open, before) => {
        if (open !== null || !before) return;
        // After the answer to "end run", or that would cover it.
        await props.bench.session.idle();
        const timing = rehearsedTiming(props.practice, state());
        if (!timing) return;
        const late = Math.round(timing.meanMs);
        // Said in the language of the calls, shown in that of the page, as every answer is.
        const calls = dayLanguage(preferences().language);
        if (calls === 'de') await germanSoon();
        const sentence = (language: PageLanguage): string =>
          timingTexts[language].atOnce(timing.count, Math.abs(late), late < 0, Math.round(timing.spreadMs));
        props.bench.session.tell({
          tone: 'told',
          text: sentence(calls),
          shown: sentence(pageLanguage()),
          asked: true,
        });
      },
    ),
  );

  return (
    <div class="rehearsal-panel">
      <Vessel
        setup={state().setup}
        section={sectionOf(state().setup, props.practice.run.baselineMl, props.practice.run.baselineMl)}
        level={() => levelAt(props.practice, state(), props.bench.now())}
      />
      <a class="button" href={hrefOf('rehearsal')}>
        {t().toResult}
      </a>
    </div>
  );
}

export default RehearsalPanel;
