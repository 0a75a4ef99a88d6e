import { catalogue } from '../../language/page-language.ts';

/** A gap in the times of a run. */
export const texts = catalogue(
  {
    heading: (run: string) => `Run ${run}: do its times still fit together?`,
    jumped: (gap: string) =>
      `The page was closed during this run. By the device’s clock ${gap} went by, far more than the run explains.`,
    back: 'The page was closed during this run, and the device’s clock went back. How long the pause was is not known.',
    slept: (gap: string) =>
      `The device slept during this run, or its clock was set: it shows ${gap} more than the run counted.`,
    keep: 'Keep the times',
    pause: 'The pause really was (m:ss)',
    shift: 'Use this pause',
    end: 'End the run there',
    wrong: 'Write the pause as minutes and seconds, such as 1:30.',
    kept: 'The times are kept.',
    shifted: 'The times before the pause were moved.',
    ended: 'The run ends before the pause.',
    days: (n: number) => (n === 1 ? '1 day' : `${n} days`),
    hours: (n: number) => (n === 1 ? '1 hour' : `${n} hours`),
    seconds: (n: number) => (n === 1 ? '1 second' : `${n} seconds`),
    minutes: (n: number) => (n === 1 ? '1 minute' : `${n} minutes`),
  },
  {
    heading: (run) => `Lauf ${run}: Passen die Zeiten noch zusammen?`,
    jumped: (gap) =>
      `Die Seite war während dieses Laufs geschlossen. Nach der Uhr des Geräts vergingen ${gap}, viel mehr, als der Lauf erklärt.`,
    back: 'Die Seite war während dieses Laufs geschlossen, und die Uhr des Geräts ging zurück. Wie lang die Pause war, ist nicht bekannt.',
    slept: (gap) =>
      `Das Gerät schlief während dieses Laufs, oder seine Uhr wurde gestellt: Sie zeigt ${gap} mehr, als der Lauf gezählt hat.`,
    keep: 'Zeiten behalten',
    pause: 'Die Pause war in Wirklichkeit (m:ss)',
    shift: 'Diese Pause verwenden',
    end: 'Lauf dort beenden',
    wrong: 'Schreibe die Pause in Minuten und Sekunden, etwa 1:30.',
    kept: 'Die Zeiten bleiben.',
    shifted: 'Die Zeiten vor der Pause wurden verschoben.',
    ended: 'Der Lauf endet vor der Pause.',
    days: (n) => (n === 1 ? '1 Tag' : `${n} Tage`),
    hours: (n) => (n === 1 ? '1 Stunde' : `${n} Stunden`),
    seconds: (n) => (n === 1 ? '1 Sekunde' : `${n} Sekunden`),
    minutes: (n) => (n === 1 ? '1 Minute' : `${n} Minuten`),
  },
);
