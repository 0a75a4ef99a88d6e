import type { Sentences } from '../log/refusal.ts';

const needs = 'run,time_s,volume_mL, or run,rate,conc_NAME_M';
const braucht = 'run,time_s,volume_mL oder run,rate,conc_NAME_M';

/** A sentence about one line of a table. */
const at = (line: number | undefined, { en, de }: Sentences): Sentences => ({
  en: `Line ${line}${en}`,
  de: `Zeile ${line}${de}`,
});

/** Why a table of readings, rates or values is not taken, and what is assumed where it is. Names of columns stay as programs write them. */
export const tableRefusals = {
  empty: { en: 'The file is empty.', de: 'Die Datei ist leer.' },
  notText: (file: string) => ({
    en: `${file} is not a text file in UTF-8.`,
    de: `${file} ist keine Textdatei in UTF-8.`,
  }),
  notRead: (file: string) => ({ en: `${file} cannot be read.`, de: `${file} ist nicht lesbar.` }),
  openQuote: (line: number) =>
    at(line, {
      en: ' has a quotation mark that is never closed.',
      de: ': Ein Anführungszeichen wird nicht geschlossen.',
    }),
  afterQuote: (line: number) =>
    at(line, {
      en: ' goes on after a closing quotation mark.',
      de: ' geht nach einem schließenden Anführungszeichen weiter.',
    }),
  noName: (column: string, name: string) => ({
    en: `The column ${column} names a substance "${name}", which cannot be used as a name.`,
    de: `Die Spalte ${column} nennt einen Stoff „${name}“; das geht nicht als Name.`,
  }),
  twice: (column: string) => ({
    en: `The column ${column} comes twice.`,
    de: `Die Spalte ${column} kommt zweimal vor.`,
  }),
  strayUncertainty: (name: string) => ({
    en: `An uncertainty is given for the concentration of ${name}, but there is no column conc_${name}_M.`,
    de: `Für die Konzentration von ${name} steht eine Unsicherheit da, aber die Spalte conc_${name}_M fehlt.`,
  }),
  noColumns: (line: number | undefined) =>
    at(line, {
      en: ` names none of the columns. It needs ${needs}.`,
      de: ` nennt keine der Spalten. Nötig sind ${braucht}.`,
    }),
  lacks: (columns: readonly string[]) => ({
    en: `The table lacks the column${columns.length > 1 ? 's' : ''} ${columns.join(', ')}. It needs ${needs}.`,
    de: `In der Tabelle ${columns.length > 1 ? 'fehlen die Spalten' : 'fehlt die Spalte'} ${columns.join(', ')}. Nötig sind ${braucht}.`,
  }),
  oneRun: {
    en: 'The table has no column run: all its rows are taken as one run.',
    de: 'Die Tabelle hat keine Spalte „run“: Alle Zeilen gelten als ein Lauf.',
  },
  startsAtFirst: (run: string) => ({
    en: `Run ${run} has no baseline: its first reading is taken as the start.`,
    de: `Lauf ${run} hat keinen Anfangsstand: Seine erste Ablesung gilt als Anfang.`,
  }),
  startsAtZero: (run: string) => ({
    en: `Run ${run} has no baseline: its volumes are taken as counted from 0 mL.`,
    de: `Lauf ${run} hat keinen Anfangsstand: Seine Volumen gelten als ab 0 mL gezählt.`,
  }),
  noRows: { en: 'The table has a header but no rows.', de: 'Die Tabelle hat eine Kopfzeile, aber keine Zeilen.' },
  manyCells: (line: number | undefined) =>
    at(line, {
      en: ' has more cells than the header: with decimal commas, separate the columns by semicolons.',
      de: ' hat mehr Zellen als die Kopfzeile: Trenne bei Dezimalkommas die Spalten mit Strichpunkten.',
    }),
  ambiguous: (line: number | undefined, cell: string) =>
    at(line, {
      en: `: "${cell}" may have a decimal comma or mark thousands; write it with a point, or without the comma.`,
      de: `: „${cell}“ kann ein Dezimalkomma haben oder Tausender meinen; schreibe einen Punkt, oder lass das Komma weg.`,
    }),
  gas: (run: string, gas: string) => ({
    en: `Run ${run} names the gas "${gas}": write O2, H2, CO2 or N2, or leave it empty.`,
    de: `Lauf ${run} nennt das Gas „${gas}“: Schreibe O2, H2, CO2 oder N2, oder lass es leer.`,
  }),
  water: (run: string) => ({
    en: `Run ${run} says of its water neither fresh nor saturated nor none.`,
    de: `Lauf ${run} sagt von seinem Wasser weder fresh noch saturated noch none.`,
  }),
  waterWithoutGas: (run: string) => ({
    en: `Run ${run} says what its gas stands on, which counts for carbon dioxide only: it needs the column gas with CO2.`,
    de: `Lauf ${run} sagt, worüber sein Gas steht; das zählt nur bei Kohlendioxid: Nötig ist die Spalte gas mit CO2.`,
  }),
  dotted: (line: number | undefined, cell: string) =>
    at(line, {
      en: `: "${cell}" may have a decimal point or mark thousands; write it without the point, or give every figure of its column decimals.`,
      de: `: „${cell}“ kann ein Dezimalpunkt oder ein Tausenderpunkt sein; schreibe es ohne Punkt, oder gib jeder Zahl der Spalte Nachkommastellen.`,
    }),
  clock: (line: number | undefined, cell: string, name: string) =>
    at(line, {
      en: `: "${cell}" looks like minutes and seconds; ${name} takes seconds.`,
      de: `: „${cell}“ sieht nach Minuten und Sekunden aus; ${name} nimmt Sekunden.`,
    }),
  belowBaseline: (run: string, baseline: string) => ({
    en: `Run ${run}: all its readings lie below its baseline of ${baseline} mL, so no gas was displaced. Look for swapped columns or another unit.`,
    de: `Lauf ${run}: Alle Ablesungen liegen unter dem Anfangsstand von ${baseline} mL; es wurde also kein Gas verdrängt. Vielleicht sind Spalten vertauscht oder die Einheit ist eine andere.`,
  }),
  greatest: ({ en, de }: Sentences) => ({ en: `The greatest volume: ${en}`, de: `Das größte Volumen: ${de}` }),
  shortRuns: (seconds: string) => ({
    en: `The longest run is over after ${seconds} s. If the times are minutes, write them in seconds.`,
    de: `Der längste Lauf ist nach ${seconds} s vorbei. Sind die Zeiten Minuten, so schreibe sie in Sekunden.`,
  }),
  longRuns: (hours: string) => ({
    en: `A run takes ${hours} hours. If the times are milliseconds, write them in seconds.`,
    de: `Ein Lauf dauert ${hours} Stunden. Sind die Zeiten Millisekunden, so schreibe sie in Sekunden.`,
  }),
  wideTime: (run: string) => ({
    en: `Run ${run}: the uncertainty of its times is longer than the whole run. It is a standard uncertainty in seconds.`,
    de: `Lauf ${run}: Die Unsicherheit der Zeiten ist länger als der ganze Lauf. Gemeint ist eine Standardunsicherheit in Sekunden.`,
  }),
  wideVolume: (run: string) => ({
    en: `Run ${run}: the uncertainty of its volumes is larger than all that was displaced. It is a standard uncertainty in mL.`,
    de: `Lauf ${run}: Die Unsicherheit der Volumen ist größer als alles, was verdrängt wurde. Gemeint ist eine Standardunsicherheit in mL.`,
  }),
  overCeiling: (run: string, ceiling: string) => ({
    en: `Run ${run}: more was displaced than its ceiling_mL of ${ceiling}. It takes mL of gas at full conversion, counted from the baseline.`,
    de: `Lauf ${run}: Es wurde mehr verdrängt als sein ceiling_mL von ${ceiling}. Es nimmt mL Gas bei vollem Umsatz, ab dem Anfangsstand gezählt.`,
  }),
  passedOver: (columns: readonly string[]) => ({
    en: `Not read, because no column has this name: ${columns.join(', ')}.`,
    de: `Nicht gelesen, weil keine Spalte so heißt: ${columns.join(', ')}.`,
  }),
  noConcentrations: {
    en: 'A table of rates needs at least one column of starting concentrations, conc_NAME_M.',
    de: 'Eine Tabelle von Geschwindigkeiten braucht mindestens eine Spalte mit Anfangskonzentrationen, conc_NAME_M.',
  },
  missing: (line: number | undefined, name: string) => at(line, { en: ` has no ${name}.`, de: `: ${name} fehlt.` }),
  notNumber: (line: number | undefined, cell: string, name: string) =>
    at(line, { en: `: "${cell}" is not a number (${name}).`, de: `: „${cell}“ ist keine Zahl (${name}).` }),
  tooLarge: (line: number | undefined, name: string) =>
    at(line, { en: `: ${name} is too large to be true.`, de: `: ${name} ist zu groß, um zu stimmen.` }),
  negativeUncertainty: (line: number | undefined, name: string) =>
    at(line, {
      en: `: a standard uncertainty cannot be negative (${name}).`,
      de: `: Eine Standardunsicherheit kann nicht negativ sein (${name}).`,
    }),
  uncertainty: (line: number | undefined, name: string, u: number) =>
    at(line, {
      en: `: ${name} is ${u}, which is too ${u > 1 ? 'large' : 'small'} to be true; 0 stands for exact.`,
      de: `: ${name} ist ${u}; das ist zu ${u > 1 ? 'groß' : 'klein'}, um zu stimmen. 0 heißt genau.`,
    }),
  slip: (line: number | undefined, name: string, { en, de }: Sentences) =>
    at(line, { en: `, ${name}: ${en}`, de: `, ${name}: ${de}` }),
  differs: (line: number | undefined, name: string) =>
    at(line, {
      en: `: ${name} differs from that in an earlier line of the same run.`,
      de: `: ${name} ist anders als in einer früheren Zeile desselben Laufs.`,
    }),
  ceiling: (run: string) => ({
    en: `The ceiling of run ${run} must be above zero.`,
    de: `Die Obergrenze von Lauf ${run} muss über null liegen.`,
  }),
  estimator: (run: string) => ({
    en: `The estimator of run ${run} is none of line, quadratic and firstOrder.`,
    de: `Das Verfahren von Lauf ${run} ist keines von line, quadratic und firstOrder.`,
  }),
  limiting: (run: string, name: string) => ({
    en: `Run ${run} names ${name} as limiting, but there is no conc_NAME_M or mass_NAME_g of it.`,
    de: `Lauf ${run} nennt ${name} als begrenzend, aber es gibt kein conc_NAME_M oder mass_NAME_g davon.`,
  }),
  straySolid: (name: string) => ({
    en: `An uncertainty or the pieces of the solid ${name} are given, but there is no column mass_${name}_g.`,
    de: `Zum Feststoff ${name} stehen eine Unsicherheit oder Stücke da, aber die Spalte mass_${name}_g fehlt.`,
  }),
  unknownSolid: (name: string) => ({
    en: `The molar mass of ${name} is not known here, so mass_${name}_g gives no amount. Known are Mg and CaCO3, for example.`,
    de: `Die molare Masse von ${name} ist hier nicht bekannt, also gibt mass_${name}_g keine Stoffmenge. Bekannt sind zum Beispiel Mg und CaCO3.`,
  }),
  mass: (run: string, name: string) => ({
    en: `The mass of ${name} in run ${run} must be above 0 g and at most 1000 g.`,
    de: `Die Masse von ${name} in Lauf ${run} muss über 0 g und höchstens 1000 g sein.`,
  }),
  notPositive: (run: string) => ({
    en: `A pressure, a volume, a step or an amount of gas of run ${run} is not above zero.`,
    de: `Ein Druck, ein Volumen, ein Schritt oder eine Gasmenge von Lauf ${run} liegt nicht über null.`,
  }),
  headspaceNegative: (run: string) => ({
    en: `The headspace correction of run ${run} is below zero.`,
    de: `Die Gasraum-Korrektur von Lauf ${run} liegt unter null.`,
  }),
  headspaceNotPositive: (run: string) => ({
    en: `The headspace or the bore of the cylinder of run ${run} is not above zero.`,
    de: `Der Gasraum oder die Weite des Zylinders von Lauf ${run} liegt nicht über null.`,
  }),
  headspaceHalf: (run: string) => ({
    en: `Of headspace_mL and cylinder_bore_mm run ${run} states one only; both are needed.`,
    de: `Von headspace_mL und cylinder_bore_mm nennt Lauf ${run} nur eines; beide sind nötig.`,
  }),
  headspaceTwice: (run: string) => ({
    en: `Run ${run} states the headspace twice: as headspace, and as headspace_mL.`,
    de: `Lauf ${run} nennt den Gasraum zweimal: als headspace und als headspace_mL.`,
  }),
  rateUncertainty: (line: number | undefined) =>
    at(line, { en: ': u_rate must be above zero.', de: ': u_rate muss über null liegen.' }),
  rateUncertaintyLarge: (line: number | undefined) =>
    at(line, {
      en: ': u_rate is too large beside its rate to be true.',
      de: ': u_rate ist neben der Geschwindigkeit zu groß, um zu stimmen.',
    }),
  valueColumns: {
    en: 'A table of values needs the columns name,value,u.',
    de: 'Eine Wertetabelle braucht die Spalten name,value,u.',
  },
  manyRows: { en: 'The table has more than 100,000 rows.', de: 'Die Tabelle hat mehr als 100.000 Zeilen.' },
  noValue: (line: number) =>
    at(line, {
      en: ' of the table has no number, or no uncertainty above zero.',
      de: ' der Tabelle hat keine Zahl oder keine Unsicherheit über null.',
    }),
  valueSize: (line: number) =>
    at(line, {
      en: ' of the table has a number that is too large or too small to combine.',
      de: ' der Tabelle hat eine Zahl, die zum Mitteln zu groß oder zu klein ist.',
    }),
} as const;
