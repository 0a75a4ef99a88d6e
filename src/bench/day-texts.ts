import { catalogue, numbersIn } from '../language/page-language.ts';
import type { Condition } from '../log/event.ts';

/** What the tool says of the day besides the steps of the checklist. `ml` without a unit: as volumes are called. */
export const dayTexts = catalogue(
  {
    next: (step: string) => `Next: ${step}`,
    sayDone: 'Say “done” when you are ready.',
    pourNext: (run: string, name: string, ml: string) =>
      `Run ${run}: pour ${ml} mL of ${name}. Say “poured ${ml} of ${name}” when it is in.`,
    callNext: (run: string, ml: string) => `Run ${run}: ${ml} is the next volume to call.`,
    allDone: 'That was the last step. Everything is done.',
    missing: (conditions: readonly Condition[]): string =>
      conditions.length > 1
        ? 'The air pressure and the temperature are missing. Say “pressure” and the number, or type it, then “temperature” and the number. “Next step” goes on without.'
        : conditions[0] === 'pressure'
          ? 'The air pressure is missing. Say “pressure” and the number in hectopascals, or type it. “Next step” goes on without.'
          : 'The temperature is missing. Say “temperature” and the number. “Next step” goes on without.',
    skipped: (conditions: readonly Condition[]) =>
      `Going on without ${conditions.map((one) => (one === 'pressure' ? 'the air pressure' : 'the temperature')).join(' and ')}. Rates will say that it is missing.`,
    baseline: (ml: string) => `Baseline ${ml}.`,
    temperature: (celsius: string) => `Temperature ${celsius} °C.`,
    pressure: (hPa: string) => `Air pressure ${hPa}.`,
    ended: (run: string, readings: number) =>
      `Run ${run} is over, with ${readings} ${readings === 1 ? 'reading' : 'readings'}.`,
    takenBack: (what: string) => `Taken back: ${what}.`,
    notTaken: 'Nothing was taken.',
  },
  {
    next: (step) => `Als Nächstes: ${step}`,
    sayDone: '„Fertig“ sagen, wenn es so weit ist.',
    pourNext: (run, name, ml) =>
      `Lauf ${run}: ${ml} mL ${name} eingießen. „Eingegossen ${numbersIn('de', ml)} von ${name}“ sagen, wenn es drin ist.`,
    callNext: (run, ml) => `Lauf ${run}: ${ml} ist das nächste Volumen.`,
    allDone: 'Das war der letzte Schritt. Alles ist erledigt.',
    missing: (conditions) =>
      conditions.length > 1
        ? 'Luftdruck und Temperatur fehlen. „Luftdruck“ und die Zahl sagen oder eintippen, dann „Temperatur“ und die Zahl. Mit „nächster Schritt“ geht es ohne weiter.'
        : conditions[0] === 'pressure'
          ? 'Der Luftdruck fehlt. „Luftdruck“ und die Zahl in Hektopascal sagen oder eintippen. Mit „nächster Schritt“ geht es ohne weiter.'
          : 'Die Temperatur fehlt. „Temperatur“ und die Zahl sagen. Mit „nächster Schritt“ geht es ohne weiter.',
    skipped: (conditions) =>
      `Ausgelassen: ${conditions.map((one) => (one === 'pressure' ? 'der Luftdruck' : 'die Temperatur')).join(' und ')}. Beim Ergebnis steht, dass das fehlt.`,
    baseline: (ml) => `Anfangsstand ${ml}.`,
    temperature: (celsius) => `Temperatur ${celsius} °C.`,
    pressure: (hPa) => `Luftdruck ${hPa}.`,
    ended: (run, readings) => `Lauf ${run} ist zu Ende, mit ${readings} ${readings === 1 ? 'Ablesung' : 'Ablesungen'}.`,
    takenBack: (what) => `Zurückgenommen: ${what}.`,
    notTaken: 'Nichts wurde notiert.',
  },
);
