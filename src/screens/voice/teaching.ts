import { type Accessor, createMemo, createSignal, onCleanup } from 'solid-js';
import { type CallPutRight, callsPutRight } from '../../bench/calls-put-right.ts';
import { callsOf } from '../../bench/word-round.ts';
import { EarUnavailable, makeOwnEar, type OwnEar } from '../../hearing/ear/own-ear.ts';
import { type KeptCall, keptCall, loadSounds } from '../../hearing/voice-store.ts';
import { restBench } from '../bench/bench-session.ts';
import type { Desk } from '../desk.tsx';
import { preferences } from '../preferences/device.ts';
import { keep, voice } from './known-voice.ts';
import { callsToLearn, learnCalls } from './learn-calls.ts';
import { makeSayWords, type SayWords } from './say-words.ts';

/** Teaching as the screen sees it: the step while it goes on, and learning anew from what is kept. */
export interface Teaching {
  /** The step, while it goes on. */
  readonly saying: Accessor<SayWords | null>;
  /** Share of the learning anew that is done, 0..1; null: none goes on. */
  readonly part: Accessor<number | null>;
  /** What went wrong, as a sentence; ''. */
  readonly trouble: Accessor<string>;
  readonly told: Accessor<string>;
  readonly putRight: Accessor<readonly CallPutRight[]>;
  /** The person agreed that calls put right by hand are learnt from. */
  readonly agreed: Accessor<boolean>;
  agree(agreed: boolean): void;
  /** Call it in a tap: it opens the microphone. */
  begin(): void;
  learnAgain(): Promise<void>;
  tell(sentence: string): void;
  complain(sentence: string): void;
}

const notKept = 'The browser did not keep that.';

/** @param onDone the step is over and something else is on the screen */
export function createTeaching(desk: Desk, onDone: () => void): Teaching {
  const [step, setStep] = createSignal<SayWords | null>(null);
  const [trouble, setTrouble] = createSignal('');
  const [told, tell] = createSignal('');
  const [part, setPart] = createSignal<number | null>(null);
  // Before a voice is kept there is nowhere else to remember it.
  const [chosen, setChosen] = createSignal<boolean | null>(null);
  const agreed = () => chosen() ?? voice()?.fromCorrections ?? false;
  const putRight = createMemo(() => {
    const state = desk.state();
    return state ? callsPutRight(state) : [];
  });
  onCleanup(() => step()?.dispose());

  /** Learns from sounds, and from calls put right where that was agreed to, and keeps what came of it. */
  const learn = async (ear: OwnEar, sounds: readonly KeptCall[], progress: (share: number) => void): Promise<void> => {
    const calls = [...sounds];
    const journal = desk.journal();
    if (agreed() && journal) {
      const fresh = putRight().filter(({ call }) => !sounds.some((sound) => sound.call === call));
      const more = await callsToLearn(ear, fresh, (call) => desk.store.getClip(journal.id, call));
      calls.push(...more.calls);
      if (more.leftOut > 0)
        tell(`${more.leftOut} of the calls put right were left out: how they were said cannot be told.`);
    }
    const before = { name: voice()?.name ?? '', fromCorrections: agreed() };
    await keep(await learnCalls(ear, calls, before, progress), calls);
  };

  return {
    saying() {
      const phase = step()?.phase();
      return phase === 'opening' || phase === 'saying' || phase === 'learning' ? step() : null;
    },
    part,
    trouble() {
      const phase = step()?.phase();
      return trouble() || (phase === 'failed' || phase === 'too-few' ? (step()?.now() ?? '') : '');
    },
    told,
    putRight,
    agreed,
    agree(next) {
      setChosen(next);
      const known = voice();
      if (known) keep({ ...known, fromCorrections: next }).catch(() => setTrouble(notKept));
    },
    begin() {
      restBench();
      setTrouble('');
      tell('');
      step()?.dispose();
      setStep(
        makeSayWords(
          preferences(),
          (ear, round, progress) =>
            learn(
              ear,
              callsOf(round).map((call) => keptCall(call)),
              progress,
            ),
          onDone,
        ),
      );
    },
    async learnAgain() {
      const ear = makeOwnEar();
      setTrouble('');
      tell('');
      setPart(0);
      try {
        await ear.load();
        await learn(ear, await loadSounds(), setPart);
        tell('Learnt again.');
      } catch (error) {
        console.error(error);
        setTrouble(error instanceof EarUnavailable ? error.message : `${notKept} Nothing was changed.`);
      } finally {
        setPart(null);
        ear.dispose();
        onDone();
      }
    },
    tell,
    complain: setTrouble,
  };
}
