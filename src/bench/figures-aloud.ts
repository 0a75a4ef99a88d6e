import { catalogue, dayLanguage } from '../language/page-language.ts';
import { countingReadings, currentRunOf, durationText, zeroMs } from '../log/runs.ts';
import type { NotebookState } from '../log/state.ts';
import { liveFigures, withUncertainty } from './live.ts';

const texts = catalogue(
  {
    noRun: 'There is no run yet.',
    noRate: 'The rate can be given from the third reading on.',
    rate: (rate: string) => `${rate} millilitres a second so far.`,
    ended: (length: string) => `The run took ${length}.`,
    notBegun: 'The clock starts with the first reading.',
    soFar: (length: string) => `${length} since the first reading.`,
    left: (length: string) => `About ${length} to go.`,
  },
  {
    noRun: 'Es gibt noch keinen Lauf.',
    noRate: 'Die Geschwindigkeit gibt es ab der dritten Ablesung.',
    rate: (rate) => `Bisher ${rate} Milliliter pro Sekunde.`,
    ended: (length) => `Der Lauf dauerte ${length}.`,
    notBegun: 'Die Uhr beginnt mit der ersten Ablesung.',
    soFar: (length) => `${length} seit der ersten Ablesung.`,
    left: (length) => `Noch etwa ${length}.`,
  },
);

/** The answer to "how fast" and "how long" about the run that goes on, else the latest, on the screen and aloud. */
export function figuresAloud(
  state: NotebookState,
  what: 'rate' | 'time',
  nowMs: number,
  language: string,
): { readonly text: string; readonly say: string } {
  const t = texts[dayLanguage(language)];
  const same = (text: string) => ({ text, say: text });
  const run = currentRunOf(state);
  if (!run) return same(t.noRun);
  const figures = liveFigures(state, run.id);
  if (what === 'rate') {
    if (!figures) return same(t.noRate);
    // The uncertainty is for the eye: aloud, one number is enough.
    const spoken = String(Number(figures.rateMlPerS.toPrecision(2)));
    return { text: t.rate(withUncertainty(figures.rateMlPerS, figures.uMlPerS, 1)), say: t.rate(spoken) };
  }
  const readings = countingReadings(run);
  if (readings.length === 0) return same(t.notBegun);
  if (run.endedMs !== null) return same(t.ended(durationText((readings.at(-1)?.timeMs ?? 0) - zeroMs(run))));
  const soFar = t.soFar(durationText(nowMs - zeroMs(run)));
  const leftMs = figures?.spanMs == null ? 0 : figures.spanMs - nowMs;
  return same(leftMs > 0 ? `${soFar} ${t.left(durationText(leftMs))}` : soFar);
}
