import { makeCallerSounds } from './caller-sounds.ts';
import { likelySpeech } from './onset.ts';

/**
 * What the audio worklet does with sound, as plain code: passes it on, finds utterances, keeps the last seconds in a
 * ring, cuts out the sound of each utterance, measures the level. Everything it tells is in frames of the stream; the
 * page turns frames into page time.
 */
export type CaptureMessage =
  | {
      readonly kind: 'level';
      readonly frame: number;
      readonly rms: number;
      readonly peak: number;
      readonly noiseDb: number | null;
      readonly sounding: boolean;
    }
  | { readonly kind: 'onset'; readonly frame: number }
  | { readonly kind: 'nothing'; readonly frame: number }
  /** All of the sound, stretch by stretch, for an ear that runs along with it. `frame`: of its first sample. */
  | { readonly kind: 'sound'; readonly frame: number; readonly samples: Float32Array<ArrayBuffer> }
  | {
      readonly kind: 'utterance';
      readonly onsetFrame: number;
      readonly endFrame: number;
      readonly uOnsetS: number;
      readonly speech: number;
      readonly likely: boolean;
      readonly clipped: boolean;
      readonly samples: Float32Array<ArrayBuffer>;
      /** Stream frame of the first sample. */
      readonly firstFrame: number;
    };

export interface Capture {
  /** `frame`: number of the first sample in the stream. Jumps are lost sound. */
  push(samples: Float32Array, frame: number): void;
}

/** Sound kept before the onset and after the end of an utterance, s. */
export const beforeS = 0.25;
export const afterS = 0.2;
const ringS = 14;
const levelsPerSecond = 15;
const stretchS = 0.08;

export function makeCapture(sampleRate: number, send: (message: CaptureMessage) => void): Capture {
  const finder = makeCallerSounds(sampleRate);
  const ring = new Float32Array(Math.ceil(ringS * sampleRate));
  const levelEvery = Math.round(sampleRate / levelsPerSecond);
  const stretch = Math.round(sampleRate * stretchS);
  /** Frame since `first` of the first sample that was not sent yet. */
  let sent = 0;
  let first: number | null = null;
  /** Frames of the stream since `first` that lie in the ring. */
  let written = 0;
  let sounding = false;
  let sum = 0;
  let peak = 0;
  let counted = 0;

  const put = (sample: number): void => {
    ring[written % ring.length] = sample;
    written++;
  };

  const cut = (from: number, to: number): Float32Array<ArrayBuffer> => {
    const samples = new Float32Array(Math.max(0, to - from));
    for (let index = 0; index < samples.length; index++) samples[index] = ring[(from + index) % ring.length] ?? 0;
    return samples;
  };

  return {
    push(samples, frame) {
      first ??= frame;
      const base = first;
      const at = frame - base;
      for (let missing = Math.min(at - written, ring.length); missing > 0; missing--) put(0);
      if (at > written) {
        written = at;
        sent = at;
      }
      for (const sample of samples.subarray(Math.max(0, written - at))) {
        put(sample);
        sum += sample * sample;
        peak = Math.max(peak, Math.abs(sample));
      }
      counted += samples.length;
      for (; written - sent >= stretch; sent += stretch)
        send({ kind: 'sound', frame: base + sent, samples: cut(sent, sent + stretch) });
      for (const event of finder.push(samples, at)) {
        if (event.kind === 'onset') {
          sounding = true;
          send({ kind: 'onset', frame: base + event.onsetFrame });
        } else if (event.kind === 'nothing') {
          sounding = false;
          send({ kind: 'nothing', frame: base + written });
        } else {
          sounding = false;
          const { utterance } = event;
          const from = Math.max(0, written - ring.length, utterance.onsetFrame - Math.round(beforeS * sampleRate));
          const to = Math.min(written, utterance.endFrame + Math.round(afterS * sampleRate));
          send({
            kind: 'utterance',
            onsetFrame: base + utterance.onsetFrame,
            endFrame: base + utterance.endFrame,
            uOnsetS: utterance.uOnsetS,
            speech: utterance.speech,
            likely: utterance.speech >= likelySpeech,
            clipped: utterance.clipped,
            samples: cut(from, to),
            firstFrame: base + from,
          });
        }
      }
      if (counted >= levelEvery) {
        send({
          kind: 'level',
          frame: base + written,
          rms: Math.sqrt(sum / counted),
          peak,
          noiseDb: finder.noiseDb(),
          sounding,
        });
        sum = 0;
        peak = 0;
        counted = 0;
      }
    },
  };
}
