import { type Accessor, createSignal, onCleanup } from 'solid-js';
import { callsOf } from '../../bench/word-round.ts';
import { EarUnavailable, makeOwnEar, type OwnEar } from '../../hearing/ear/own-ear.ts';
import { type KeptCall, keptCall } from '../../hearing/voice-store.ts';
import { restBench } from '../bench/bench-session.ts';
import { preferences } from '../preferences/device.ts';
import { textsOf } from '../texts.ts';
import { keep, keptSounds, voice } from './known-voice.ts';
import { learnCalls } from './learn-calls.ts';
import { makeSayWords, type SayWords } from './say-words.ts';
import { texts } from './say-words-texts.ts';

/** Teaching as the screen sees it: the step while it goes on, and learning anew from what is kept. */
export interface Teaching {
  /** The step, while it goes on. */
  readonly saying: Accessor<SayWords | null>;
  /** Share of the learning anew that is done, 0..1; null: none goes on. */
  readonly part: Accessor<number | null>;
  /** What went wrong, as a sentence; ''. */
  readonly trouble: Accessor<string>;
  readonly told: Accessor<string>;
  /** Call it in a tap: it opens the microphone. */
  begin(): void;
  learnAgain(): Promise<void>;
  tell(sentence: string): void;
  complain(sentence: string): void;
}

const t = textsOf(texts);

/**
 * @param words what is asked for
 * @param onDone the step is over and something else is on the screen
 */
export function createTeaching(words: () => readonly string[], onDone: () => void): Teaching {
  const [step, setStep] = createSignal<SayWords | null>(null);
  const [trouble, setTrouble] = createSignal('');
  const [told, tell] = createSignal('');
  const [part, setPart] = createSignal<number | null>(null);
  onCleanup(() => step()?.dispose());

  const learn = async (ear: OwnEar, fresh: readonly KeptCall[], progress: (share: number) => void): Promise<void> => {
    const { voice: next, sounds } = await learnCalls(ear, voice(), await keptSounds(), fresh, progress);
    await keep(next, sounds);
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
    begin() {
      restBench();
      setTrouble('');
      tell('');
      step()?.dispose();
      setStep(
        makeSayWords(
          preferences(),
          words(),
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
        await learn(ear, [], setPart);
        tell(t().learntAgain);
      } catch (error) {
        console.error(error);
        setTrouble(error instanceof EarUnavailable ? t().noEar : t().notLearnt);
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
