import { type FakePhrase, type FakeScript, fakeRecogniser } from './fake-recogniser.ts';
import { type SpeechSound, speechFile } from './speech-sound.ts';

/** One thing a person says at the bench, and what the recogniser makes of it. */
export interface Line {
  /** s from the opening of the microphone. */
  readonly atS: number;
  readonly say: string;
  /** Best first; the same as said where it is left out; null: the recogniser gives no words for it. */
  readonly heard?: string | readonly string[] | null;
  readonly options?: Omit<FakePhrase, 'text' | 'atS'>;
}

export interface ScriptedVoice {
  readonly sound: SpeechSound & { readonly path: string };
  readonly initScript: string;
  /** True beginning of each line's sound, s, by position. */
  readonly onsetS: readonly number[];
  readonly endS: number;
}

/** A voice in the microphone and a recogniser that hears it, on one clock. */
export async function scriptedVoice(
  lines: readonly Line[],
  script: Omit<FakeScript, 'phrases'> = {},
): Promise<ScriptedVoice> {
  const sound = await speechFile(
    lines.map(({ say, atS }) => ({ text: say, atS })),
    { tailS: 4 },
  );
  const phrases = lines.flatMap(({ atS, say, heard, options }): FakePhrase[] =>
    heard === null ? [] : [{ text: heard ?? say, atS, ...options }],
  );
  return {
    sound,
    initScript: fakeRecogniser({ ...script, phrases }),
    onsetS: sound.calls.map((call) => call.onsetS),
    endS: sound.samples.length / sound.sampleRate,
  };
}

/** Lines one after the other, `everyS` apart, from `fromS` on. */
export function linesEvery(everyS: number, fromS: number, lines: readonly Omit<Line, 'atS'>[]): Line[] {
  return lines.map((line, index) => ({ ...line, atS: fromS + index * everyS }));
}
