import { catalogue, type PageLanguage } from '../language/page-language.ts';
import type { Condition } from '../log/event.ts';

/** What the tool says of the day besides the steps of the checklist. `ml` without a unit: as volumes are called. */
export const dayTexts = catalogue(
  {
    next: (step: string) => `Next: ${step}`,
    sayDone: 'Then say “done”.',
    pourNext: (run: string, name: string, ml: string) =>
      `Run ${run}: pour ${ml} mL of ${name}, and say “poured ${ml} of ${name}”.`,
    callNext: (run: string, ml: string) => `Run ${run}: call the next volume, ${ml}.`,
    allDone: 'That was the last step. Everything is done.',
    missing: (conditions: readonly Condition[]): string =>
      conditions.length > 1
        ? 'The air pressure and the temperature are missing. Say “pressure” and the number, then “temperature” and the number, or say “skip”.'
        : conditions[0] === 'pressure'
          ? 'The air pressure is missing. Say “pressure” and the number in hectopascals, or say “skip”.'
          : 'The temperature is missing. Say “temperature” and the number, or say “skip”.',
    skipped: (conditions: readonly Condition[]) =>
      `Left out: ${conditions.map((one) => (one === 'pressure' ? 'the air pressure' : 'the temperature')).join(' and ')}. Rates will show it as missing.`,
    baseline: (ml: string) => `Baseline ${ml}.`,
    temperature: (celsius: string) => `Temperature ${celsius} °C.`,
    pressure: (hPa: string) => `Air pressure ${hPa}.`,
    ended: (run: string, readings: number) =>
      `Run ${run} is over, with ${readings} ${readings === 1 ? 'reading' : 'readings'}.`,
    takenBack: (what: string) => `Taken back: ${what}.`,
    nothingToCorrect: 'There is nothing to correct.',
  },
  {
    next: (step) => `Als Nächstes: ${step}`,
    sayDone: 'Dann „fertig“ sagen.',
    pourNext: (run, name, ml) => `Lauf ${run}: ${ml} mL ${name} eingießen und „eingegossen ${ml} von ${name}“ sagen.`,
    callNext: (run, ml) => `Lauf ${run}: das nächste Volumen ansagen, ${ml}.`,
    allDone: 'Das war der letzte Schritt. Alles ist erledigt.',
    missing: (conditions) =>
      conditions.length > 1
        ? 'Luftdruck und Temperatur fehlen. „Luftdruck“ und die Zahl sagen, dann „Temperatur“ und die Zahl, oder „überspringen“.'
        : conditions[0] === 'pressure'
          ? 'Der Luftdruck fehlt. „Luftdruck“ und die Zahl in Hektopascal sagen, oder „überspringen“.'
          : 'Die Temperatur fehlt. „Temperatur“ und die Zahl sagen, oder „überspringen“.',
    skipped: (conditions) =>
      `Ausgelassen: ${conditions.map((one) => (one === 'pressure' ? 'der Luftdruck' : 'die Temperatur')).join(' und ')}. Bei den Raten steht, dass das fehlt.`,
    baseline: (ml) => `Grundlinie ${ml}.`,
    temperature: (celsius) => `Temperatur ${celsius} °C.`,
    pressure: (hPa) => `Luftdruck ${hPa}.`,
    ended: (run, readings) => `Lauf ${run} ist zu Ende, mit ${readings} ${readings === 1 ? 'Ablesung' : 'Ablesungen'}.`,
    takenBack: (what) => `Zurückgenommen: ${what}.`,
    nothingToCorrect: 'Es gibt nichts zu ändern.',
  },
);

/** German for calls in German, English for any other language, as with the checklist. */
export const dayLanguage = (tag: string): PageLanguage => (tag.toLowerCase().split('-')[0] === 'de' ? 'de' : 'en');
