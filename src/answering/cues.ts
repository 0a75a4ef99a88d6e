/**
 * Short tones that answer a call. They differ in rhythm (how many, how long) and not in pitch alone, so that who hears
 * no pitch, or half of it over running water, can tell them apart; what they say is always on the screen as well.
 * Pure tones: neither a recogniser nor the onset finder takes them for words.
 */
export type Cue =
  /** One short high tone. */
  | 'taken'
  /** Two tones, the second lower. */
  | 'doubtful'
  /** Three quick low tones. */
  | 'unresolved'
  /** One long falling tone. */
  | 'struck'
  /** Four rising tones. */
  | 'span-reached'
  /** Long, pause, long: low. */
  | 'trouble';

interface Tone {
  /** From the start of the cue, ms. */
  readonly atMs: number;
  readonly lengthMs: number;
  readonly fromHz: number;
  readonly toHz: number;
}

const tone = (atMs: number, lengthMs: number, fromHz: number, toHz = fromHz): Tone => ({
  atMs,
  lengthMs,
  fromHz,
  toHz,
});

/** The pattern of each cue. */
export const cueTones: Readonly<Record<Cue, readonly Tone[]>> = {
  taken: [tone(0, 70, 1320)],
  doubtful: [tone(0, 90, 880), tone(150, 160, 587)],
  unresolved: [tone(0, 60, 440), tone(110, 60, 440), tone(220, 60, 440)],
  struck: [tone(0, 320, 990, 495)],
  'span-reached': [tone(0, 80, 784), tone(120, 80, 988), tone(240, 80, 1175), tone(360, 180, 1568)],
  trouble: [tone(0, 300, 330), tone(420, 300, 330)],
};

/** How long a cue sounds, ms. */
export function cueLengthMs(cue: Cue): number {
  return Math.max(...cueTones[cue].map(({ atMs, lengthMs }) => atMs + lengthMs));
}

export interface CuesOptions {
  /** 0..1; default 0.5. */
  readonly volume?: number;
  readonly silent?: boolean;
  /** Makes the sound system; default: the browser's, on first use. Null where there is none. */
  readonly makeContext?: () => AudioContext | null;
  /** Told when a cue begins, so that the ears know it for the tool's own (see `Listening.cue`). */
  readonly onPlay?: (lengthMs: number) => void;
}

export interface Cues {
  /** Plays a cue; one that is still sounding is cut short. Gives the page time of its end, ms; 0 when nothing sounds. */
  play(cue: Cue): number;
  /** Wakes the sound system: call it in the tap that opens the microphone. */
  prime(): void;
  setVolume(volume: number): void;
  setSilent(silent: boolean): void;
  dispose(): void;
}

/** Fades at both ends of a tone, so that it does not click, s. */
const fadeS = 0.008;

export function makeCues(options: CuesOptions = {}): Cues {
  let volume = bounded(options.volume ?? 0.5);
  let silent = options.silent ?? false;
  let context: AudioContext | null = null;
  let sounding: { oscillator: OscillatorNode; gain: GainNode }[] = [];

  const wake = (): AudioContext | null => {
    context ??= options.makeContext ? options.makeContext() : newContext();
    if (context && context.state !== 'running') void context.resume().catch(() => undefined);
    return context;
  };

  const hush = (): void => {
    for (const { oscillator, gain } of sounding.splice(0)) {
      gain.gain.cancelScheduledValues(0);
      gain.gain.value = 0;
      oscillator.stop();
    }
  };

  return {
    play(cue) {
      if (silent || volume === 0) return 0;
      const system = wake();
      if (!system) return 0;
      hush();
      const start = system.currentTime + 0.005;
      for (const { atMs, lengthMs, fromHz, toHz } of cueTones[cue]) {
        const from = start + atMs / 1000;
        const to = from + lengthMs / 1000;
        const oscillator = system.createOscillator();
        const gain = system.createGain();
        oscillator.type = 'sine';
        oscillator.frequency.setValueAtTime(fromHz, from);
        if (toHz !== fromHz) oscillator.frequency.exponentialRampToValueAtTime(toHz, to);
        gain.gain.setValueAtTime(0, from);
        gain.gain.linearRampToValueAtTime(loudness(volume), from + fadeS);
        gain.gain.setValueAtTime(loudness(volume), to - fadeS);
        gain.gain.linearRampToValueAtTime(0, to);
        oscillator.connect(gain).connect(system.destination);
        oscillator.start(from);
        oscillator.stop(to + 0.01);
        const one = { oscillator, gain };
        sounding.push(one);
        oscillator.onended = () => {
          gain.disconnect();
          sounding = sounding.filter((other) => other !== one);
        };
      }
      const length = cueLengthMs(cue);
      options.onPlay?.(length + 20);
      return performance.now() + length + 20;
    },
    prime() {
      wake();
    },
    setVolume(next) {
      volume = bounded(next);
    },
    setSilent(next) {
      silent = next;
      if (silent) hush();
    },
    dispose() {
      hush();
      const old = context;
      context = null;
      if (old) void old.close().catch(() => undefined);
    },
  };
}

function newContext(): AudioContext | null {
  return typeof AudioContext === 'undefined' ? null : new AudioContext({ latencyHint: 'interactive' });
}

function bounded(volume: number): number {
  return Number.isFinite(volume) ? Math.max(0, Math.min(1, volume)) : 0.5;
}

/** Half the way of the control is a tenth of the power: about half as loud to the ear. */
function loudness(volume: number): number {
  return volume ** 1.66 * 0.6;
}
