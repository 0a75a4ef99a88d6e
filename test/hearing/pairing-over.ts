import type { Heard, Utterance } from '../../src/hearing/ear.ts';
import {
  type HeardCall,
  type Lag,
  lagOf,
  newPairing,
  nextPairingMs,
  type PairingEvent,
  pairingStep,
} from '../../src/hearing/pairing.ts';
import { frozen } from '../frozen.ts';

/** The steps of pairing with their state held between them; each state is frozen, so that no step writes into it. */
export interface PairingOver {
  utterance(utterance: Utterance, speech: boolean, nowMs: number): readonly HeardCall[];
  heard(heard: Heard, nowMs: number): readonly HeardCall[];
  withoutWords(utterance: string, nowMs: number): readonly HeardCall[];
  unheard(atMs: number, nowMs: number): readonly HeardCall[];
  sounding(onsetMs: number | null): void;
  tick(nowMs: number): readonly HeardCall[];
  flush(nowMs: number): readonly HeardCall[];
  nextMs(): number | null;
  lag(): Lag;
}

export function makePairing(waitMs: () => number): PairingOver {
  let state = newPairing('made-');
  const step = (event: PairingEvent, nowMs: number): readonly HeardCall[] => {
    const next = pairingStep(frozen(state), event, { nowMs, waitMs: waitMs() });
    state = next.state;
    return next.calls;
  };
  return {
    utterance: (utterance, speech, nowMs) => step({ kind: 'utterance', utterance, speech }, nowMs),
    heard: (heard, nowMs) => step({ kind: 'heard', heard }, nowMs),
    withoutWords: (utterance, nowMs) => step({ kind: 'without-words', utterance }, nowMs),
    unheard: (atMs, nowMs) => step({ kind: 'unheard', atMs }, nowMs),
    sounding: (onsetMs) => void step({ kind: 'sounding', onsetMs }, 0),
    tick: (nowMs) => step({ kind: 'tick' }, nowMs),
    flush: (nowMs) => step({ kind: 'flush' }, nowMs),
    nextMs: () => nextPairingMs(state),
    lag: () => lagOf(state),
  };
}
