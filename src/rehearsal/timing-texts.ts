import { catalogue } from '../language/page-language.ts';

/** How early or late the calls of a rehearsal were, in sentences. Times are whole milliseconds with their unit. */
export const timingTexts = catalogue(
  {
    to: 'to',
    mean: (count: number, ms: string, early: boolean, between: string) =>
      `${count} calls count. On average they came ${ms} ${early ? 'before' : 'after'} the mark (95 %: ${between}). That cancels in time differences.`,
    spread: (ms: string, between: string) =>
      `From call to call they vary by ${ms} (standard deviation; 95 %: ${between}). That makes a time uncertain.`,
    few: (count: number, percent: number) =>
      `From ${count} calls the spread is known to about ${percent} %. A second run in the same rehearsal makes it more certain.`,
    /** Shown and said as soon as the run ends. */
    atOnce: (count: number, ms: number, early: boolean, spreadMs: number) =>
      `${count} calls: on average ${ms} ms ${early ? 'early' : 'late'}, give or take ${spreadMs} ms`,
  },
  {
    to: 'bis',
    mean: (count, ms, early, between) =>
      `${count} Ansagen zählen. Im Mittel kamen sie ${ms} ${early ? 'vor' : 'nach'} der Marke (95 %: ${between}). Das hebt sich in Zeitdifferenzen auf.`,
    spread: (ms, between) =>
      `Von Ansage zu Ansage schwanken sie um ${ms} (Standardabweichung; 95 %: ${between}). Das macht eine Zeit unsicher.`,
    few: (count, percent) =>
      `Aus ${count} Ansagen ist die Streuung auf etwa ${percent} % bekannt. Ein zweiter Lauf im selben Probelauf macht sie sicherer.`,
    atOnce: (count, ms, early, spreadMs) =>
      `${count} Ansagen: im Mittel ${ms} ms zu ${early ? 'früh' : 'spät'}, mit einer Streuung von ${spreadMs} ms`,
  },
);
