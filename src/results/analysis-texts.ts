import type { RunAnalysis } from '../analysis/analyse-run.ts';
import type { OrderProblem } from '../analysis/identify-orders.ts';
import type { OrderEstimate } from '../analysis/judge-order.ts';
import type { Flag } from '../analysis/outliers.ts';
import type { FlagCause, Refused, RunData } from '../analysis/run-data.ts';
import type { TemperatureFit } from '../analysis/temperature.ts';
import { isTold } from '../analysis/tied-ceilings.ts';
import { unbroken } from '../analysis/unbroken.ts';
import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { chemistryText } from '../planning/chemistry-sentences.ts';
import { speciesText } from './species.ts';
import { listed } from './texts.ts';

/**
 * What the analysis says, in the page's language. Its own sentences are English; a German page says the same from the
 * figures and the kind of each finding, so that a new kind does not compile without German words for it.
 */

const ml = (m3: number): string => String(Number((m3 * 1e6).toPrecision(3)));

const flagsInGerman: Readonly<Record<FlagCause, (flag: Flag, read: string, expected: string) => string>> = {
  misheard: ({ suggestedM3 }, read, expected) =>
    `${read} mL passt nicht zu den anderen, nach denen es ${expected} mL sein müssten${suggestedM3 === undefined ? '' : `; ${ml(suggestedM3)} mL würde passen und klingt ähnlich`}.`,
  'shifted-mark': ({ suggestedM3 }, read, expected) =>
    `Ab ${read} mL liegt jede Ablesung um ganze Marken daneben: Eine Marke wurde verpasst oder doppelt gezählt; hier wären es ${suggestedM3 === undefined ? expected : ml(suggestedM3)} mL.`,
  'late-call': ({ lateS }, read, expected) =>
    `${read} mL wurde ${lateS === undefined ? '' : `etwa ${lateS.toPrecision(2)} s `}zu spät angesagt: Da waren schon ${expected} mL gekommen.`,
  surge: (_, read, expected) =>
    `Der Anfang des Laufs passt nicht zum Rest: Abgelesen wurden ${read} mL, der spätere Fluss führt auf ${expected} mL zurück.`,
  'slow-down': (_, read, expected) =>
    `Hier kam weniger Gas, als die Kurve erwarten lässt: ${read} mL statt ${expected} mL. Such ein Leck oder einen lockeren Stopfen.`,
  'stirring-change': (_, read, expected) =>
    `${read} mL passt nicht zu den anderen (erwartet ${expected} mL); dort wurde anders geschwenkt.`,
  unexplained: (_, read, expected) =>
    `${read} mL passt nicht zu den anderen, nach denen es ${expected} mL sein müssten; eine Ursache ließ sich nicht finden.`,
};

/** Why a reading is flagged. */
export function flagText(flag: Flag, run: RunData, language: PageLanguage): string {
  const german = language === 'de' ? flagsInGerman[flag.cause] : undefined;
  const reading = run.readings[flag.index];
  if (!german || !reading) return flag.sentence;
  return unbroken(numbersIn('de', german(flag, ml(reading.volumeM3), ml(flag.expectedM3))));
}

const refusalsInGerman: Readonly<Record<Refused['reason'], string>> = {
  'too-few-readings': 'Dafür sind es zu wenige Ablesungen.',
  'equal-times': 'Alle Ablesungen haben dieselbe Zeit; eine Geschwindigkeit braucht zwei Zeitpunkte.',
  'no-spread': 'Die Werte liegen zu dicht beieinander, um daraus etwas zu berechnen.',
  'equal-temperatures':
    'Die Läufe haben alle dieselbe Temperatur, oder fast; eine Aktivierungsenergie braucht zwei, die sich unterscheiden.',
  falling: 'Das Volumen steigt nicht, also gibt es keine Geschwindigkeit.',
  'not-finite': 'Eine Zeit oder ein Volumen ist keine brauchbare Zahl.',
  'no-ceiling': 'Dazu fehlen der Anfangsstand, die eingefüllten Mengen oder Temperatur und Luftdruck.',
  'above-ceiling':
    'Es kam mehr Gas, als die geplanten Mengen ergeben können. Prüf die Stärken, die eingefüllten Volumen und den Anfangsstand.',
  'not-identifiable': 'Diese Läufe lassen die Ordnungen und k nicht auseinanderhalten.',
  'no-bend':
    'Die Ablesungen biegen sich zu wenig, um daraus das Gas bei vollem Umsatz zu bestimmen. Gib es an oder die eingefüllten Mengen, dann geht es auch so.',
  'no-orders': 'Ohne anerkannte Ordnungen gibt es keine Geschwindigkeitskonstanten zum Vergleichen.',
  'not-yet': 'Das wird noch berechnet.',
  'no-convergence': 'Die Rechnung kam mit diesen Ablesungen zu keinem Ende.',
  'no-concentrations': 'Die Konzentrationen am Anfang sind nicht bekannt, also gibt es kein Geschwindigkeitsgesetz.',
  solid:
    'Zuerst verbraucht ist ein Feststoff: Er hat keine Konzentration, deshalb lassen sich nicht alle Ablesungen zusammen auswerten.',
  'not-positive': 'Keine Geschwindigkeit ist größer als null.',
  failed:
    'Hier ist die Rechnung selbst gescheitert. Setz auffällige Ablesungen beiseite oder nimm den Lauf heraus; alles andere wird wie sonst berechnet.',
};

/** Why something could not be computed. */
export const refusalText = ({ reason, sentence }: Refused, language: PageLanguage): string =>
  language === 'de' ? refusalsInGerman[reason] : sentence;

/** Why the runs leave an order open. */
export function problemText(problem: OrderProblem, language: PageLanguage): string {
  if (language === 'en') return problem.sentence;
  const name = speciesText(problem.species);
  if (problem.kind === 'constant')
    return `In allen Läufen war gleich viel ${name}, deshalb bleibt seine Ordnung offen.`;
  const others = listed(problem.with.map(speciesText), 'und');
  return others === ''
    ? `Ein Lauf allein sagt nichts über die Ordnung in ${name}.`
    : `${name} ändert sich nur zusammen mit ${others}, deshalb bleiben beide Ordnungen offen. Ein Lauf, in dem sich nur ${name} ändert, würde helfen.`;
}

/** Why an order was accepted, or none was. */
export function orderReason({ value, accepted, low95, high95, reason }: OrderEstimate, language: PageLanguage): string {
  if (language === 'en') return reason.replace(/(^|\s)-(?=\d)/g, '$1−');
  if (accepted === null)
    return 'Weder eine ganze noch eine halbe Zahl passt: Such einen Lauf, der abweicht, oder ein Gesetz anderer Form.';
  const said = numbersIn('de', String(accepted).replace('-', '−'));
  const others = [accepted - 1, accepted + 1].filter((other) => other >= low95 && other <= high95);
  if (Number.isInteger(accepted) && others.length > 0)
    return `${said} liegt am nächsten, aber ${listed(others.map(String), 'und')} ist auch möglich: Mehr Läufe oder größere Änderungen der Konzentration würden helfen.`;
  const inside = accepted >= low95 && accepted <= high95;
  return inside
    ? unbroken(`${said} liegt im 95-%-Bereich.`)
    : `${said} liegt nahe genug bei ${numbersIn('de', value.toPrecision(3))}.`;
}

/** Why an estimate is recommended. */
export function reasonText({ recommended, estimates }: RunAnalysis, language: PageLanguage): string {
  if (!recommended) return '';
  if (language === 'en') return recommended.reason;
  if (recommended.name === 'line')
    return 'Die Ablesungen biegen sich nicht messbar; die Gerade ist dann am genauesten.';
  if (recommended.name === 'quadratic')
    return 'Die Geschwindigkeit ändert sich unterwegs; die Steigung bei der ersten Ablesung kommt dem Anfang am nächsten.';
  const tied = estimates.firstOrder.ok ? estimates.firstOrder.ceilingM3 : undefined;
  const ceiling = tied?.from;
  if (tied && ceiling === 'tied' && !isTold(tied))
    return 'Wie viel Gas höchstens kommt, ist nicht angegeben, und die Ablesungen biegen sich zu wenig, um es zu verraten. Die Unsicherheit der Geschwindigkeit lässt jede Biegung zu, die sie offenlassen.';
  if (ceiling === 'tied')
    return 'Wie viel Gas höchstens kommt, ist nicht angegeben. Die Biegungen aller Läufe verraten es gemeinsam, im Verhältnis der eingesetzten Mengen.';
  return ceiling === 'given'
    ? 'Der Stoff wurde verbraucht, und aus den eingefüllten Mengen ist bekannt, wie viel Gas höchstens kommt; die Kurve erster Ordnung berücksichtigt beides.'
    : 'Die Ablesungen biegen sich, wie es eine Reaktion erster Ordnung tut.';
}

/** What the runs' temperatures say. */
export function temperatureText(fit: TemperatureFit, language: PageLanguage): string {
  if (language === 'en') return fit.sentence.replaceAll(' -', ' −');
  const { activation, points } = fit;
  const kj = (j: number): string => (j / 1000).toFixed(Math.abs(j) < 1e4 ? 1 : 0).replace('-', '−');
  return unbroken(
    numbersIn(
      'de',
      Number.isFinite(activation.low95)
        ? `Die Aktivierungsenergie ist ${kj(activation.value)} kJ/mol, mit 95 % Sicherheit zwischen ${kj(activation.low95)} und ${kj(activation.high95)}.`
        : `${points.length} Läufe bei zwei Temperaturen ergeben ${kj(activation.value)} kJ/mol; woher die Unsicherheit käme, bleibt offen.`,
    ),
  );
}

/** Sources of uncertainty as the budget names them: the fixed ones, and those with a name behind. */
const sourcesInGerman: readonly (readonly [RegExp, string])[] = [
  [/^strength of (.+)$/, 'Stärke von $1'],
  [/^scale of the cylinder$/, 'Skala des Zylinders'],
  [/^scale of (.+)$/, 'Skala von $1'],
  [/^temperature$/, 'Temperatur'],
  [/^pressure$/, 'Luftdruck'],
  [/^poured volumes$/, 'eingefüllte Volumen'],
  [/^weighed solids$/, 'eingewogene Feststoffe'],
  [/^gas that stays dissolved$/, 'Gas, das gelöst bleibt'],
  [/^mass per length of (.+)$/, 'Masse je Länge von $1'],
  [/^purity of (.+)$/, 'Reinheit von $1'],
  [/^baseline$/, 'Anfangsstand'],
  [/^ceiling$/, 'Gas bei vollem Umsatz'],
  [/^how the rate falls$/, 'wie die Geschwindigkeit sinkt'],
  [/^readings.*$/, 'Ablesungen'],
  [/^times and readings$/, 'Zeiten und Ablesungen'],
  [/^rounding and scatter of the runs$/, 'Rundung und Streuung der Läufe'],
  [/^scatter of the runs$/, 'Streuung der Läufe'],
  [/^pressure at sea level$/, 'Luftdruck auf Meereshöhe'],
  [/^temperature outdoors$/, 'Temperatur draußen'],
  [/^gas above the reaction(.*)$/, 'Gas über der Reaktion$1'],
  [/^bore of the cylinder(.*)$/, 'Durchmesser des Zylinders$1'],
  [/by judgement/, 'geschätzt'],
];

/** A source of uncertainty in the page's language; one that is not known here stays as the analysis names it. */
export const sourceText = (source: string, language: PageLanguage): string =>
  language === 'en' ? source : sourcesInGerman.reduce((text, [from, to]) => text.replace(from, to), source);

const notesInGerman: readonly (readonly [RegExp, string])[] = [
  [
    /^No temperature is known, so gas volumes cannot become amounts\.$/,
    'Die Temperatur ist nicht bekannt, deshalb werden aus Gasvolumen keine Stoffmengen.',
  ],
  [
    /^No air pressure is known, so gas volumes cannot become amounts\.$/,
    'Der Luftdruck ist nicht bekannt, deshalb werden aus Gasvolumen keine Stoffmengen.',
  ],
  [
    /^Run (.+) is not on the run sheet and nothing was called as poured: its concentrations are unknown\.$/,
    'Lauf $1 steht nicht im Laufplan, und nichts wurde als eingefüllt angesagt: Seine Konzentrationen sind unbekannt.',
  ],
  [/^Run (\S+): /, 'Lauf $1: '],
  [/^Runs ([^:]+): /, 'Läufe $1: '],
  [
    /: by the last reading (?:its|their) own heat can have warmed (?:it|them) by up to (\S+) degrees/,
    ': Bis zur letzten Ablesung kann die eigene Wärme um bis zu $1 Grad erwärmt haben',
  ],
  [/, which makes (?:it|them) some (\S+) % faster/, ', was etwa $1 % schneller macht'],
  [
    /, and temperatures were not called at two moments of the run\. Called at its start and at its end, they would tell/,
    ', und die Temperatur wurde nicht zweimal im Lauf angesagt. Am Anfang und am Ende angesagt, würde sie es zeigen',
  ],
  [/, and the warming would be allowed for\./, ', und die Erwärmung würde berücksichtigt.'],
  [
    /^Water takes up (.+): the (.+) of solution can hold (.+) of it, the (.+) of water displaced (.+), when saturated with it at (.+) \((Sander, .+)\)\. How much they do hold is not known; the rates are not corrected for it\.$/,
    'Wasser nimmt $1 auf: Gesättigt halten bei $6 die $2 Lösung davon $3, die $4 verdrängtes Wasser $5 ($7). Wie viel sie wirklich halten, ist nicht bekannt; die Geschwindigkeiten sind dafür nicht berichtigt.',
  ],
  [/^(Wasser nimmt) oxygen/, '$1 Sauerstoff'],
  [/^(Wasser nimmt) hydrogen/, '$1 Wasserstoff'],
  [
    /^Run (.+) has no rate above zero, so it cannot enter a rate law\.$/,
    'Lauf $1 hat keine Geschwindigkeit über null und kann nicht in ein Geschwindigkeitsgesetz eingehen.',
  ],
  [
    /^Run (.+) has no measurable rate: it is smaller than three times its uncertainty, so the run is left out\.$/,
    'Lauf $1 hat keine messbare Geschwindigkeit: Sie ist kleiner als das Dreifache ihrer Unsicherheit, deshalb bleibt der Lauf draußen.',
  ],
  [/^Run (.+) has no concentration of (.+)\.$/, 'Zu Lauf $1 fehlt die Konzentration von $2.'],
  [
    /^Run (.+) has no (.+): a power law cannot be fitted through a zero concentration, so this run is left out\.$/,
    'Lauf $1 hat kein $2: Durch eine Konzentration null geht kein Potenzgesetz, deshalb bleibt dieser Lauf draußen.',
  ],
];

/** A note about what was assumed. Notes without German words stay as they are rather than being left out. */
export const noteText = (note: string, language: PageLanguage): string =>
  language === 'en'
    ? note
    : notesInGerman.reduce((text, [from, to]) => text.replace(from, to), chemistryText(note, language));
