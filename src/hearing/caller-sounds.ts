import { makeLoudStretches } from './loud-stretches.ts';
import { type FoundUtterance, likelySpeech, makeOnsetFinder, type OnsetEvent, type OnsetFinder } from './onset.ts';

/**
 * The utterances of the caller where no ear for words is at work. In a quiet room they are those of the onset finder.
 * Where others talk, that one hears a single sound without an end: there the caller's own level says where a call
 * begins and ends, and what is well below it is no call.
 */
export function makeCallerSounds(sampleRate: number): OnsetFinder {
  const finder = makeOnsetFinder(sampleRate);
  const hop = Math.round(sampleRate * hopS);
  const stretches = makeLoudStretches(hop / sampleRate);
  let nextFrame = 0;
  let sum = 0;
  let counted = 0;
  /** Since when the onset finder has been in a sound, frame; null: it is in none. */
  let soundingFrom: number | null = null;
  /** Sound before this frame is in utterances already. */
  let takenUntil = 0;

  const learn = ({ onsetFrame, endFrame }: FoundUtterance): void => {
    takenUntil = endFrame;
    stretches.learn(Math.floor(onsetFrame / hop), Math.ceil(endFrame / hop));
  };

  const ofFinder = (event: OnsetEvent): OnsetEvent => {
    soundingFrom = event.kind === 'onset' ? event.onsetFrame : null;
    if (event.kind !== 'utterance') return event;
    const { onsetFrame, endFrame, speech } = event.utterance;
    const loudFrom = stretches.current();
    const others =
      onsetFrame < takenUntil ||
      !stretches.loudBetween(Math.floor(onsetFrame / hop), Math.ceil(endFrame / hop)) ||
      // A call that others spoke before: it is given when it is over.
      (loudFrom !== null && loudFrom * hop - onsetFrame > sameS * sampleRate);
    if (others) return { kind: 'nothing' };
    if (speech >= likelySpeech) learn(event.utterance);
    return event;
  };

  /** A stretch as loud as the caller ended while others went on. */
  const ofLevel = (from: number, to: number): OnsetEvent[] => {
    if (from * hop < takenUntil) return [];
    const same = soundingFrom !== null && Math.abs(soundingFrom - from * hop) <= sameS * sampleRate;
    const utterance: FoundUtterance = {
      onsetFrame: same && soundingFrom !== null ? soundingFrom : from * hop,
      endFrame: to * hop,
      uOnsetS: same ? sameUS : uS,
      // A knock is shorter than any number.
      speech: (to - from) * hop >= shortestWordS * sampleRate ? 1 : 0,
      overNoiseDb: 0,
      clipped: false,
    };
    if (utterance.speech > 0) learn(utterance);
    return [{ kind: 'utterance', utterance }];
  };

  const takeLevels = (samples: Float32Array, frame: number): OnsetEvent[] => {
    const events: OnsetEvent[] = [];
    const take = (power: number): void => {
      sum += power;
      if (++counted < hop) return;
      const stretch = stretches.push(sum / hop);
      sum = 0;
      counted = 0;
      if (stretch) events.push(...ofLevel(stretch.from, stretch.to));
    };
    for (let lost = Math.min(frame - nextFrame, 60 * sampleRate); lost > 0; lost--) take(0);
    for (let at = Math.max(0, nextFrame - frame); at < samples.length; at++) take((samples[at] ?? 0) ** 2);
    nextFrame = Math.max(nextFrame, frame + samples.length);
    return events;
  };

  return {
    push(samples, frame = nextFrame) {
      const levels = takeLevels(samples, frame);
      return [...finder.push(samples, frame).map(ofFinder), ...levels];
    },
    finish: () => finder.finish().map(ofFinder),
    noiseDb: finder.noiseDb,
  };
}

const hopS = 0.004;
/** The onset finder and the level put the beginning of one call no farther apart, s. */
const sameS = 0.25;
/** Standard uncertainty of a beginning, s: as the onset finder's in noise; by the level alone. */
const sameUS = 0.035;
const uS = 0.06;
const shortestWordS = 0.18;
