import { catalogue } from '../language/page-language.ts';

/** What the run sheet says about a plan. Volumes and times come in as they are written. */
export const adviceTexts = catalogue(
  {
    and: 'and',
    or: 'or',
    runs: (labels: string, several: boolean) => `${several ? 'Runs' : 'Run'} ${labels}`,
    orderIn: (order: number, name: string, assumed: boolean) => `${order} in ${name}${assumed ? ' (assumed)' : ''}`,
    fromEarlier: (run: string, orders: string) =>
      `Rates are predicted from run ${run} of this notebook, with order ${orders}.`,
    fromPublished: (source: string) =>
      `Rates are predicted from a published constant (${source}), carried to the temperature of the run. Yours may differ by a good deal: strengths of bottles do.`,
    noTemperature: (celsius: number) => ` No temperature is stated: ${celsius} °C is taken.`,
    nothingOf: (name: string) => `there is no ${name} in the flask.`,
    cylinderFull: (capacity: string, span: string) =>
      `the cylinder of ${capacity} mL is full before the span of ${span} is reached.`,
    warms: (degrees: string, faster: string | null) =>
      `by the end of the span its own heat can warm it by up to ${degrees} degrees${faster === null ? '' : `, which makes it some ${faster} % faster`}. Call the temperature of the flask at the start and at the end of the run.`,
    noGas:
      'at the temperature and pressure of the setup gas cannot be collected over water: its volume is not predicted.',
    overflows: (full: string, capacity: string) =>
      `left alone, a run makes ${full} of gas: the ${capacity} mL cylinder will overflow. Open the stopper at the end of the span.`,
    tooLittleGas: (full: string, span: string) => `it makes only ${full} of gas: the span of ${span} is never reached.`,
    longSpan: (span: string, percent: number, shorter: string, shorterPercent: number) =>
      `${span} is ${percent} % conversion: choose a shorter span (${shorter} mL would be ${shorterPercent} %).`,
    tooFast: (seconds: string) =>
      `the first marks pass every ${seconds} s, faster than they can be called. Dilute, or take a longer step.`,
    tooSlow: (time: string) => `it would take ${time} to the end of the span.`,
    coarse: (ml: number, percent: number, vesselMl: number | null) =>
      `${ml} mL is good to ${percent} % only with ${vesselMl === null ? 'the smallest cylinder that holds it' : `a ${vesselMl} mL cylinder`}: take a pipette.`,
    dilutionShort: (needed: string, name: string, made: string) =>
      `The runs need ${needed} mL of ${name}, but its dilution makes ${made} mL.`,
    bottleShort: (needed: string, name: string, there: string) =>
      `The plan needs ${needed} mL of ${name}, but there are ${there} mL.`,
    amountsUnknown: 'How much there is in the bottles is not stated, so nothing can be said about a repeat.',
    noRepeat: 'Nothing is left for a repeat of any run.',
    anyRepeat: 'After all runs a repeat of any one of them is still possible.',
    repeatOf: (runs: string) => `After all runs a repeat of run ${runs} is still possible.`,
    differOnly: (runs: string, name: string) => `${runs} differ only in ${name}: they give its order.`,
    alike: (runs: string) => `${runs} are alike: they show how well a run repeats.`,
    differInHeat: (runs: string) => `${runs} differ only in temperature: they give the activation energy.`,
    oneRun: 'One run gives a rate, but no order: plan at least one more with another concentration.',
    notVaried: (name: string) => `No run varies ${name}: its order cannot be found.`,
    together: (names: string) =>
      `${names} change together in these runs: their orders cannot be told apart. Vary one while the other stays.`,
  },
  {
    and: 'und',
    or: 'oder',
    runs: (labels, several) => `${several ? 'Läufe' : 'Lauf'} ${labels}`,
    orderIn: (order, name, assumed) => `${order} in ${name}${assumed ? ' (angenommen)' : ''}`,
    fromEarlier: (run, orders) =>
      `Die Geschwindigkeiten sind aus Lauf ${run} dieses Hefts vorhergesagt, mit Ordnung ${orders}.`,
    fromPublished: (source) =>
      `Die Geschwindigkeiten sind aus einer veröffentlichten Konstante vorhergesagt (${source}), umgerechnet auf die Temperatur des Laufs. Deine können stark abweichen, so wie die Stärken der Flaschen.`,
    noTemperature: (celsius) => ` Keine Temperatur ist angegeben: gerechnet ist mit ${celsius} °C.`,
    nothingOf: (name) => `im Kolben ist kein ${name}.`,
    cylinderFull: (capacity, span) =>
      `der Zylinder mit ${capacity} mL ist voll, ehe die Spanne von ${span} erreicht ist.`,
    warms: (degrees, faster) =>
      `bis zum Ende der Spanne kann ihn die eigene Wärme um bis zu ${degrees} Grad erwärmen${faster === null ? '' : `, das macht ihn etwa ${faster} % schneller`}. Die Temperatur des Kolbens am Anfang und am Ende des Laufs ansagen.`,
    noGas:
      'bei Temperatur und Druck dieser Einstellung lässt sich Gas nicht über Wasser auffangen: sein Volumen ist nicht vorhergesagt.',
    overflows: (full, capacity) =>
      `ein Lauf bis ganz zum Ende macht ${full} Gas: der Zylinder mit ${capacity} mL läuft über. Am Ende der Spanne den Stopfen öffnen.`,
    tooLittleGas: (full, span) => `er macht nur ${full} Gas: die Spanne von ${span} wird nie erreicht.`,
    longSpan: (span, percent, shorter, shorterPercent) =>
      `${span} sind ${percent} % Umsatz: eine kürzere Spanne wählen (${shorter} mL wären ${shorterPercent} %).`,
    tooFast: (seconds) =>
      `die ersten Marken kommen alle ${seconds} s, schneller als man ansagen kann. Verdünnen oder größere Schritte wählen.`,
    tooSlow: (time) => `bis zum Ende der Spanne würde es ${time} dauern.`,
    coarse: (ml, percent, vesselMl) =>
      `${ml} mL ist nur auf ${percent} % genau mit ${vesselMl === null ? 'dem kleinsten Zylinder, in den es passt' : `einem ${vesselMl}-mL-Zylinder`}: eine Pipette nehmen.`,
    dilutionShort: (needed, name, made) =>
      `Die Läufe brauchen ${needed} mL ${name}, die Verdünnung ergibt aber ${made} mL.`,
    bottleShort: (needed, name, there) => `Der Plan braucht ${needed} mL ${name}, es sind aber ${there} mL da.`,
    amountsUnknown:
      'Wie viel in den Flaschen ist, ist nicht angegeben; über eine Wiederholung lässt sich nichts sagen.',
    noRepeat: 'Für die Wiederholung eines Laufs bleibt nichts übrig.',
    anyRepeat: 'Nach allen Läufen lässt sich noch jeder von ihnen einmal wiederholen.',
    repeatOf: (runs) => `Nach allen Läufen lässt sich Lauf ${runs} noch einmal wiederholen.`,
    differOnly: (runs, name) => `${runs} unterscheiden sich nur in ${name}: sie ergeben dessen Ordnung.`,
    alike: (runs) => `${runs} sind gleich: sie zeigen, wie gut sich ein Lauf wiederholen lässt.`,
    differInHeat: (runs) => `${runs} unterscheiden sich nur in der Temperatur: sie ergeben die Aktivierungsenergie.`,
    oneRun:
      'Ein Lauf ergibt eine Geschwindigkeit, aber keine Ordnung: mindestens einen weiteren mit anderer Konzentration planen.',
    notVaried: (name) => `Kein Lauf ändert ${name}: die Ordnung lässt sich nicht finden.`,
    together: (names) =>
      `${names} ändern sich in diesen Läufen gemeinsam: die Ordnungen lassen sich nicht trennen. Eines ändern, während das andere bleibt.`,
  },
);
