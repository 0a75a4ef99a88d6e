import { catalogue } from '../language/page-language.ts';

/** Sentences about times and volumes that are pasted or come from a spreadsheet. */
export const pastedTexts = catalogue(
  {
    empty: 'There is nothing to read here.',
    noNumbers: 'No columns of times and volumes were found. Each line needs a time and a volume.',
    notNumber: (line: number, cell: string) => `Line ${line}: “${cell}” is neither a number nor a time such as 1:05.`,
    oneColumn: 'There is only one column of numbers. Each line needs a time and a volume.',
    few: (run: string) => `Run ${run} has fewer than two readings.`,
    many: 'This is more than 50 runs, or a run of more than 2000 readings.',
    large: (line: number) => `Line ${line} has a number that is too large to be a time or a volume.`,
    notTaken: (names: string) => `Left out: ${names}. Enter strengths and volumes on the run sheet.`,
    setAside: 'Rows marked “struck” or “set aside” are left out.',
  },
  {
    empty: 'Hier steht nichts.',
    noNumbers: 'Keine Spalten mit Zeiten und Volumen gefunden. Jede Zeile braucht eine Zeit und ein Volumen.',
    notNumber: (line, cell) => `Zeile ${line}: „${cell}“ ist weder eine Zahl noch eine Zeit wie 1:05.`,
    oneColumn: 'Es gibt nur eine Spalte mit Zahlen. Jede Zeile braucht eine Zeit und ein Volumen.',
    few: (run) => `Lauf ${run} hat weniger als zwei Ablesungen.`,
    many: 'Das sind mehr als 50 Läufe oder ein Lauf mit mehr als 2000 Ablesungen.',
    large: (line) => `Zeile ${line} hat eine Zahl, die für eine Zeit oder ein Volumen zu groß ist.`,
    notTaken: (names) => `Nicht übernommen: ${names}. Trage Konzentrationen und Volumen im Laufplan ein.`,
    setAside: 'Zeilen mit „struck“ oder „set aside“ sind ausgelassen.',
  },
);
