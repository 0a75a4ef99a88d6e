import { catalogue } from '../../language/page-language.ts';

/** What a change did to the figures of runs that were finished. */
export const texts = catalogue(
  {
    rate: (run: string, was: string, is: string) => `Run ${run}’s rate changed from ${was} to ${is} mL/s.`,
    noRate: (run: string, was: string) => `Run ${run} no longer gives a rate; it was ${was} mL/s.`,
    constant: (was: string, is: string, unit: string) => `k changed from ${was} to ${is} ${unit}.`,
    more: (runs: number) =>
      runs === 1 ? 'So did the rate of one more run.' : `So did the rates of ${runs} more runs.`,
    undo: 'Undo',
    keep: 'Keep the change',
    undone: 'The change is taken back',
  },
  {
    rate: (run, was, is) => `Die Geschwindigkeit von Lauf ${run} änderte sich von ${was} auf ${is} mL/s.`,
    noRate: (run, was) => `Lauf ${run} ergibt keine Geschwindigkeit mehr; sie war ${was} mL/s.`,
    constant: (was, is, unit) => `k änderte sich von ${was} auf ${is} ${unit}.`,
    more: (runs) => (runs === 1 ? 'Ebenso bei einem weiteren Lauf.' : `Ebenso bei ${runs} weiteren Läufen.`),
    undo: 'Rückgängig',
    keep: 'So lassen',
    undone: 'Die Änderung ist zurückgenommen',
  },
);
