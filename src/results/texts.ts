import { catalogue } from '../language/page-language.ts';

/** "1, 2 and 3". */
export function listed(items: readonly string[], and: string): string {
  const last = items.at(-1) ?? '';
  return items.length < 2 ? last : `${items.slice(0, -1).join(', ')} ${and} ${last}`;
}

const s = (count: number, one: string, many: string): string => (count === 1 ? one : many);

/** What this room says of results: labels of tables and plots, sentences, remarks. English and German. */
export const resultTexts = catalogue(
  {
    and: 'and',
    run: 'run',
    none: 'none',
    yes: 'yes',
    estimators: {
      line: 'straight line',
      quadratic: 'slope at the first reading',
      firstOrder: 'first-order curve',
    },
    rates: {
      title: (title: string) => `Rates of “${title}”`,
      temperature: 'temperature',
      used: 'readings used',
      setAside: 'set aside',
      rate: 'starting rate',
      estimator: 'estimated by',
      purity: (solid: string) => `purity of ${solid}`,
      noTemperature: 'the temperature is not stated',
      notInFlask: 'not in this flask',
      notInLaw: 'not part of the rate law',
      noEstimate: 'No estimate could be computed.',
      noAmount: 'temperature or pressure is not stated',
      noConcentration: 'temperature, pressure or the volume of the solution is not stated',
      chosen: (name: string) => `${name} (chosen)`,
      withAside: (run: string, count: number, rate: string) =>
        `Run ${run}: with the ${s(count, 'reading', `${count} readings`)} set aside counted in, the rate would be ${rate}.`,
      ofRun: (run: string, sentence: string) => `Run ${run}: ${sentence}`,
      uncertainties: 'Each figure is followed by its standard uncertainty.',
      leftIn: (amount: string, species: string, run: string) => `${amount} mol/L of ${species} in run ${run}`,
      left: (parts: string) =>
        `For k and the orders the concentrations are those at the time of each rate (a straight line: the middle of its readings; a slope: the first reading), with what was left: ${parts}.`,
    },
    law: {
      title: 'Rate law',
      quantity: 'quantity',
      value: 'value',
      unit: 'unit',
      accepted: 'accepted as',
      from: 'from',
      starting: 'starting rates',
      means: 'mean rates',
      readings: 'all readings at once',
      atAccepted: (from: string) => `${from}, at the accepted orders`,
      order: (species: string) => `order in ${species}`,
      activation: 'activation energy',
      byTemperature: 'k of the runs against 1/T',
      rateIs: 'rate = k',
      at: (celsius: string) => `k holds at ${celsius} °C, the mean temperature of the runs.`,
      birge: (ratio: string, much: boolean) =>
        `Birge ratio of the runs' k: ${ratio}${much ? '; they differ by more than their uncertainties say' : ''}.`,
      notAtOnce: (sentence: string) => `Fit of all readings at once: ${sentence}`,
      openOrders: (species: readonly string[]) =>
        `The order in ${species.join(' and in ')} is no whole or half number within its uncertainty, so no k is stated: look for a run that differs, or for a rate law of another form.`,
      twoWays: (species: string, atOnce: string, accepted: string) =>
        `The two ways do not agree on the order in ${species}: all readings at once give ${atOnce}, and ${accepted}, accepted from the starting rates, lies outside their 95 % interval. Look for a reading or a run that is off before k is used.`,
      nothingLeft: (runs: number, orders: number, hasK: boolean) =>
        `${runs} runs for ${s(orders, 'one order', `${orders} orders`)} and k: nothing is left over to check the law against. ${hasK ? `That the runs give nearly the same k follows from how the ${s(orders, 'order was', 'orders were')} found. ` : ''}One run more, or a repeat of one, would be a check.`,
      absurd: (species: string, order: string, largest: number) =>
        `An order of ${order} in ${species} is not to be believed: simple rate laws have none beyond ${largest}.`,
      hardlyKnown: (species: string, order: string) => `The order in ${species} is hardly known: ${order}.`,
      smallChange: (species: string, factor: string) =>
        `[${species}] changed between the runs by a factor of only ${factor}, which makes a large error of the order out of a small one of a rate: double it in one run.`,
      wrongInput:
        'Likely a rate is off, or a strength or a volume on the run sheet is wrong: look for a run that is unlike what was planned.',
      tooUncertain:
        'The rates of the runs are too uncertain to tell it: more readings in a run, or a larger change of the concentration, would.',
      notWhole: (species: string) => `the order in ${species} is not a whole or half number`,
      notQuite: (species: string, order: string) => `the order in ${species} is ${order}`,
      noInfluence: (species: string) => `the rate does not depend on ${species}`,
      doubles: (species: string) => `doubling ${species} doubles the rate`,
      times: (species: string, times: number) => `doubling ${species} makes the rate ${times} times as large`,
      agree: 'The runs agree about k within their uncertainties.',
      agreeLess: 'The runs differ about k somewhat more than their uncertainties say.',
      contradict: 'The runs contradict one another about k: something differed between them that is not in the plan.',
      same: 'the same as',
      above: (percent: number) => `${percent} % above`,
      below: (percent: number) => `${percent} % below`,
      published: (about: string, value: number, source: string, within: boolean) =>
        `k is ${about} the published ${value} (${source}), ${within ? 'within' : 'outside'} its uncertainty.`,
      factorTwo:
        ' A factor of two is usually the convention: the rate of the gas, or that of the reagent of which two are used up.',
    },
    runs: {
      noRate: (run: string) => `Run ${run}: these readings give no rate.`,
      apart: (run: string) => `Apart from what is flagged, the gas of run ${run} came at a steady rate.`,
      withoutCeiling: (guggenheim: string, timeLag: string, curve: string) =>
        `Checked without a final reading: Guggenheim’s method gives k′ = ${guggenheim} 1/s and the time-lag method ${timeLag} 1/s; the curve has ${curve} 1/s.`,
      withoutCeilingDiffers:
        'They differ by more than chance: the ceiling may be wrong, or the reaction is not of first order.',
      mean: (run: string) => `The flow of run ${run} changed on the way; the straight line gives its mean.`,
      steady: (run: string) => `The gas of run ${run} came at a steady rate.`,
      slowerUsedUp: (run: string, percent: number) =>
        `At the end of run ${run} the gas came ${percent} % slower than at its first reading: the reagent was being used up; the first-order estimate accounts for it.`,
      slower: (run: string, percent: number) =>
        `At the end of run ${run} the gas came ${percent} % slower than at its first reading; the parabola gives the rate at the start.`,
      faster: (run: string, percent: number) =>
        `Run ${run} sped up by ${percent} % on the way: it warmed up, or gas was held back at first.`,
      bendOpen: (run: string) =>
        `The readings of run ${run} bend too little to tell whether the gas came more slowly by and by; the uncertainty of the rate allows for it.`,
      lateRate: (run: string) =>
        `Much gas had come before the first reading of run ${run}, so the starting rate was higher than this and is not known.`,
      hardly: (run: string) => `The rate of run ${run} hardly changed on the way.`,
      known: (percent: string) => `The rate is known to ${percent} %.`,
      noBaseline: 'No baseline was called, so gas made before the first reading is not counted.',
      scatters: 'The readings scatter more than was stated; the uncertainty comes from that scatter.',
      flagged: (count: number) =>
        count === 1 ? 'One reading does not fit the others' : `${count} readings do not fit the others`,
      sameWithout: (count: number) => `the rate is the same with and without ${s(count, 'it', 'them')}`,
      rateWithout: (count: number, percent: number, higher: boolean) =>
        `With ${s(count, 'it', 'them')} put right or set aside the rate is ${percent} % ${higher ? 'higher' : 'lower'}.`,
    },
    budget: {
      title: 'What the uncertainty of k comes from',
      source: 'source',
      relative: 'u(k)/k in %',
      share: 'share in %',
      ofReadings: 'Of k from all readings at once, at the accepted orders.',
      ofStarting: 'Of k from the starting rates, at the accepted orders.',
      sentence: (total: string, share: number, source: string) =>
        `k is known to ${total} %. ${share} % of that variance is the ${source}: measuring that better helps most.`,
    },
    plots: {
      run: (run: string) => `Run ${run}`,
      time: 'time since the first reading / s',
      cylinder: 'cylinder / mL',
      noCurve: 'no curve',
      curve: (run: string, used: number, aside: number, how: string) =>
        `Run ${run}: cylinder reading in mL against time in s; ${used} readings used, ${aside} set aside; ${how}.`,
      residuals: (run: string) => `Run ${run}: residuals`,
      residualsShow: (run: string) => `Run ${run}: reading minus fitted curve in mL against time in s.`,
      residual: 'reading − curve / mL',
      order: (species: string) => `Order in ${species}`,
      orderShows: (species: string, order: number) =>
        `Logarithm of the starting rate against the logarithm of the concentration of ${species}, one point a run, with the line of order ${order}.`,
      logConcentration: (species: string) => `log₁₀ [${species}]₀ / (mol/L)`,
      logRate: 'log₁₀ rate',
      divided: (others: string) => ` (for equal ${others})`,
      eyring: 'Eyring plot',
      arrhenius: 'Arrhenius plot',
      byTemperature: (eyring: boolean) =>
        `${eyring ? 'Logarithm of k over T' : 'Logarithm of k'} against 1000 over the temperature in kelvin, one point a run, with the fitted line.`,
      all: 'All runs',
      allShow: (runs: number, flagged: number) =>
        `Gas in mL since the first reading against time in s, ${s(runs, 'one run', `${runs} runs`)} with the fitted curves; ${flagged} to check.`,
      gas: 'gas made / mL',
    },
    pours: {
      title: 'Planned and poured',
      total: 'in all',
      settled: {
        'as-planned': 'called, as planned',
        accepted: 'called, taken as poured',
        'topped-up': 'called, topped up',
        open: 'called, difference not settled',
      },
      putRight: 'put right by hand',
      plain: 'A volume without a remark is the plan’s; nothing was called.',
      unknown: (run: string, ml: string, reagent: string) =>
        `Run ${run}: ${ml} mL of “${reagent}” was called as poured; it is none of the run sheet’s solutions and is left out of the concentrations.`,
      differs: (run: string, solution: string, poured: string, planned: string, how: string) =>
        `Run ${run}, ${solution}: ${poured} was poured where ${planned} was planned${how === '' ? '' : ` (${how})`}.`,
      inLaw: (labels: readonly string[]) =>
        `${labels.length === 1 ? 'Run' : 'Runs'} ${listed(labels, 'and')} ${s(labels.length, 'was', 'were')} poured otherwise than planned; concentrations, orders and k use what was poured.`,
      notInPlan: 'not in the plan',
      plan: (ml: number) => `plan ${ml}`,
    },
    pressed: (start: string, end: string) =>
      `The rising level presses on the gas above the reaction, which is corrected for: a millilitre displaced stands for ${start} % more gas at the start of a run and for up to ${end} % more at its last reading. Rates in mL are at the pressure of the start.`,
    /** What liquids may keep back of carbon dioxide. */
    dissolved: {
      holds: (run: string, ml: string, water: string) =>
        `Carbon dioxide dissolves in water: in run ${run} the solution can hold ${ml} mL of it, ${water} (Weiss, Mar. Chem. 2 (1974) 203).`,
      water: {
        fresh: (ml: string) => `the fresh water under the gas ${ml} mL`,
        'not-stated': (ml: string) =>
          `the water under the gas ${ml} mL or more, as the setup says neither how much of it there is nor whether it was saturated`,
        saturated: () => 'while the water under the gas was saturated with it',
        none: () => 'while the gas stands on no water',
      } as Readonly<Record<'fresh' | 'not-stated' | 'saturated' | 'none', (ml: string) => string>>,
      taken: (factor: string, low: string, high: string) =>
        `How much they do hold is not known: the gas made is taken as ${factor} times the gas collected, and may be ${low} to ${high} times. The uncertainty of k allows for it. Rates in mL are those of the gas collected.`,
    },
    readings: {
      title: (title: string) => `Readings of “${title}”`,
      reading: 'reading',
      time: 'time',
      volume: 'cylinder',
      asSaid: 'as taken',
      heard: 'heard',
      timedBy: 'timed by',
      status: 'status',
      reason: 'reason',
      changes: 'changes',
      remarks: 'what was done about it',
      statuses: { used: 'used', 'used, in doubt': 'used, in doubt', 'set aside': 'set aside', struck: 'struck' },
      timings: { sound: 'sound', words: 'first words', key: 'key', hand: 'typed', file: 'from a file' },
      by: {
        ear: 'words heard later',
        expectation: 'judged again by later readings',
        voice: 'by voice',
        hand: 'by hand',
      },
      struckBy: (by: string) => `struck (${by})`,
      restored: 'restored',
      putBack: 'put back',
    },
    report: {
      begun: 'Begun',
      reaction: 'Reaction',
      cylinder: 'Cylinder',
      cylinderText: (capacity: number, division: number, glass: string, step: number, span: number) =>
        `${capacity} mL, ${division} mL divisions, ${glass}; called every ${step} mL over ${span} mL`,
      glassUnknown: 'class not stated',
      glassClass: (accuracy: string) => `class ${accuracy}`,
      temperature: 'Temperature',
      temperatureText: (celsius: number, u: number | undefined) =>
        `${celsius} °C${u === undefined ? '' : `, standard uncertainty ${u} °C`}`,
      pressure: 'Pressure',
      atBench: (hPa: number) => `${hPa} hPa, read at the bench`,
      atSea: (hPa: number, altitude: number, outdoor: number | undefined) =>
        `${hPa} hPa at sea level, ${altitude} m above it${outdoor === undefined ? '' : `, ${outdoor} °C outdoors`}`,
      equation: (text: string) => text,
      waterHead: 'Water head',
      standsOn: 'The gas stands on',
      standsOnText: (water: 'fresh' | 'saturated' | 'none' | undefined, ml: number | undefined) => {
        if (water === 'none') return 'no water (oil, or a syringe)';
        const amount = ml === undefined ? '' : `${ml} mL of `;
        const kinds = { fresh: 'fresh water', saturated: 'water saturated with it' };
        return `${amount}${water ? kinds[water] : 'water'}`;
      },
      gasAbove: 'Gas above the reaction',
      corrected: (how: string) => `corrected for: ${how}`,
      notCorrected: 'not corrected for',
      bottle: (name: string) => `Bottle: ${name}`,
      unknownStrength: 'strength not known',
      dilution: (name: string) => `Dilution: ${name}`,
      dilutionText: (take: number, from: string, water: number | undefined, total: number | undefined) =>
        `${take} mL of ${from} ${total === undefined ? `and ${water ?? 0} mL of water` : `made up to ${total} mL`}`,
      estimates: 'The three estimates of each run',
      estimate: 'estimate',
      rate: 'rate',
      low95: '95 % from',
      high95: 'to',
      verdict: 'verdict',
      recommended: 'recommended',
      used: 'used',
      usedByChoice: 'used (own choice)',
      notebook: 'Notebook',
      entries: 'Entries',
      check: (events: number, sum: string) => `${events}, check ${sum}`,
      seed: 'Seed of random numbers',
      writtenBy: 'Written by',
      app: (version: string, schema: number) => `Meniscall${version}, notebook schema ${schema}`,
    },
    limits: {
      invented: 'The figures of this notebook are invented, to show what a result looks like.',
      removed: (run: string, how: 'set-aside' | 'deleted', why: string) =>
        `Run ${run} was ${how === 'deleted' ? 'deleted' : 'set aside'} by hand and counts nowhere${why === '' ? '.' : `: ${why}`}`,
      flagged: (run: string, sentence: string) => `Run ${run}, not set aside: ${sentence}`,
      doubtful: (count: number) =>
        `${s(count, '1 reading is', `${count} readings are`)} used though what was heard was in doubt.`,
      open: (count: number) =>
        `${s(count, '1 call', `${count} calls`)} during the runs gave no value and ${s(count, 'is', 'are')} not in the table.`,
      noBaseline: (runs: string) =>
        `No baseline was called for run ${runs}: gas made before the first reading is not known.`,
      joint: (run: string, what: string) => `Run ${run}: ${what}`,
      joints: {
        reload: 'the page was opened anew during the run; times across that moment rest on the device’s clock.',
        'unknown-gap':
          'the page was opened anew during the run and the device’s clock could not be trusted; times across that moment are not known.',
        'clock-doubted': 'the device slept or its clock was set during the run.',
      },
      moment: (run: string, seconds: string) => `Run ${run}, ${seconds} s`,
      baseline: (ml: string) => `baseline ${ml} mL`,
      temperature: (celsius: string) => `temperature ${celsius} °C`,
      poured: (pour: string, before: string | null) =>
        `poured ${pour}${before === null ? '' : ` (put right by hand; ${before} was understood)`}`,
      pour: (ml: string, of: string) => `${ml} mL of ${of}`,
      note: (text: string) => `note: ${text}`,
      lastWord: 'The label on the bottle, local rules and a qualified supervisor come before anything said here.',
    },
  },
  {
    and: 'und',
    run: 'Lauf',
    none: 'keine',
    yes: 'ja',
    estimators: {
      line: 'Gerade',
      quadratic: 'Steigung bei der ersten Ablesung',
      firstOrder: 'Kurve erster Ordnung',
    },
    rates: {
      title: (title) => `Geschwindigkeiten von „${title}“`,
      temperature: 'Temperatur',
      used: 'Ablesungen benutzt',
      setAside: 'ausgelassen',
      rate: 'Anfangsgeschwindigkeit',
      estimator: 'bestimmt mit',
      purity: (solid) => `Reinheit von ${solid}`,
      noTemperature: 'die Temperatur ist nicht angegeben',
      notInFlask: 'nicht in diesem Kolben',
      notInLaw: 'nicht Teil des Geschwindigkeitsgesetzes',
      noEstimate: 'Es ließ sich nichts berechnen.',
      noAmount: 'Temperatur oder Druck ist nicht angegeben',
      noConcentration: 'Temperatur, Druck oder das Volumen der Lösung ist nicht angegeben',
      chosen: (name) => `${name} (selbst gewählt)`,
      withAside: (run, count, rate) =>
        `Lauf ${run}: Mit ${s(count, 'der ausgelassenen Ablesung', `den ${count} ausgelassenen Ablesungen`)} wäre die Geschwindigkeit ${rate}.`,
      ofRun: (run, sentence) => `Lauf ${run}: ${sentence}`,
      uncertainties: 'Hinter jeder Zahl steht ihre Standardunsicherheit.',
      leftIn: (amount, species, run) => `${amount} mol/L ${species} in Lauf ${run}`,
      left: (parts) =>
        `Für k und die Ordnungen gelten die Konzentrationen zum Zeitpunkt der Geschwindigkeit (Gerade: Mitte der Ablesungen; Steigung: erste Ablesung), also was noch da war: ${parts}.`,
    },
    law: {
      title: 'Geschwindigkeitsgesetz',
      quantity: 'Größe',
      value: 'Wert',
      unit: 'Einheit',
      accepted: 'angenommen als',
      from: 'aus',
      starting: 'Anfangsgeschwindigkeiten',
      means: 'mittlere Geschwindigkeiten',
      readings: 'allen Ablesungen zugleich',
      atAccepted: (from) => `${from}, mit den angenommenen Ordnungen`,
      order: (species) => `Ordnung in ${species}`,
      activation: 'Aktivierungsenergie',
      byTemperature: 'k der Läufe gegen 1/T',
      rateIs: 'v = k',
      at: (celsius) => `k gilt bei ${celsius} °C, der mittleren Temperatur der Läufe.`,
      birge: (ratio, much) =>
        `Birge-Verhältnis der k der Läufe: ${ratio}${much ? '; sie unterscheiden sich mehr, als ihre Unsicherheiten sagen' : ''}.`,
      notAtOnce: (sentence) => `Anpassung an alle Ablesungen zugleich: ${sentence}`,
      openOrders: (species) =>
        `Die Ordnung in ${species.join(' und in ')} ist im Rahmen ihrer Unsicherheit keine ganze oder halbe Zahl, deshalb wird kein k angegeben: Such nach einem Lauf, der abweicht, oder nach einem Gesetz anderer Form.`,
      twoWays: (species, atOnce, accepted) =>
        `Die beiden Wege sind sich über die Ordnung in ${species} nicht einig: alle Ablesungen zugleich ergeben ${atOnce}, und ${accepted} aus den Anfangsgeschwindigkeiten liegt außerhalb des 95-%-Bereichs. Such eine falsche Ablesung oder einen falschen Lauf, bevor du k benutzt.`,
      nothingLeft: (runs, orders, hasK) =>
        `${runs} Läufe für ${s(orders, 'eine Ordnung', `${orders} Ordnungen`)} und k: Nichts bleibt übrig, um das Gesetz zu prüfen. ${hasK ? `Dass die Läufe fast dasselbe k ergeben, folgt daraus, wie die ${s(orders, 'Ordnung', 'Ordnungen')} bestimmt ${s(orders, 'wurde', 'wurden')}. ` : ''}Ein weiterer Lauf oder eine Wiederholung wäre eine Probe.`,
      absurd: (species, order, largest) =>
        `Eine Ordnung von ${order} in ${species} ist nicht zu glauben: Einfache Gesetze haben keine über ${largest}.`,
      hardlyKnown: (species, order) => `Die Ordnung in ${species} ist kaum bekannt: ${order}.`,
      smallChange: (species, factor) =>
        `[${species}] änderte sich zwischen den Läufen nur um den Faktor ${factor}; so wird aus einem kleinen Fehler der Geschwindigkeit ein großer der Ordnung: Verdopple sie in einem Lauf.`,
      wrongInput:
        'Wahrscheinlich stimmt eine Geschwindigkeit nicht, oder eine Stärke oder ein Volumen im Laufplan ist falsch: Such einen Lauf, der nicht zum Plan passt.',
      tooUncertain:
        'Die Geschwindigkeiten sind dafür zu unsicher: Mehr Ablesungen in einem Lauf oder eine größere Änderung der Konzentration würden helfen.',
      notWhole: (species) => `die Ordnung in ${species} ist keine ganze oder halbe Zahl`,
      notQuite: (species, order) => `die Ordnung in ${species} ist ${order}`,
      noInfluence: (species) => `die Geschwindigkeit hängt nicht von ${species} ab`,
      doubles: (species) => `doppelt so viel ${species} verdoppelt die Geschwindigkeit`,
      times: (species, times) => `doppelt so viel ${species} macht die Geschwindigkeit ${times}-mal so groß`,
      agree: 'Die Läufe ergeben im Rahmen ihrer Unsicherheiten dasselbe k.',
      agreeLess: 'Die k der Läufe unterscheiden sich etwas mehr, als ihre Unsicherheiten sagen.',
      contradict: 'Die Läufe widersprechen einander bei k: Etwas war zwischen ihnen anders, das nicht im Plan steht.',
      same: 'gleich dem',
      above: (percent) => `${percent} % über dem`,
      below: (percent) => `${percent} % unter dem`,
      published: (about, value, source, within) =>
        `k ist ${about} veröffentlichten ${value} (${source}), ${within ? 'innerhalb' : 'außerhalb'} seiner Unsicherheit.`,
      factorTwo:
        ' Ein Faktor zwei ist meist die Festlegung: die Geschwindigkeit des Gases oder die des Stoffs, von dem zwei verbraucht werden.',
    },
    runs: {
      noRate: (run) => `Lauf ${run}: Diese Ablesungen ergeben keine Geschwindigkeit.`,
      apart: (run) => `Bis auf das Markierte kam das Gas in Lauf ${run} gleichmäßig.`,
      withoutCeiling: (guggenheim, timeLag, curve) =>
        `Ohne Endwert geprüft: Die Guggenheim-Methode ergibt k′ = ${guggenheim} 1/s, die Methode mit festem Zeitabstand ${timeLag} 1/s; die Kurve hat ${curve} 1/s.`,
      withoutCeilingDiffers:
        'Sie unterscheiden sich mehr als zufällig: Die Gasmenge bei vollem Umsatz ist vielleicht falsch, oder die Reaktion ist nicht erster Ordnung.',
      mean: (run) => `In Lauf ${run} änderte sich der Fluss unterwegs; die Gerade gibt das Mittel.`,
      steady: (run) => `Das Gas kam in Lauf ${run} gleichmäßig.`,
      slowerUsedUp: (run, percent) =>
        `Am Ende von Lauf ${run} kam das Gas ${percent} % langsamer als bei der ersten Ablesung: Der Stoff wurde verbraucht; die Kurve erster Ordnung berücksichtigt das.`,
      slower: (run, percent) =>
        `Am Ende von Lauf ${run} kam das Gas ${percent} % langsamer als bei der ersten Ablesung; die Parabel gibt die Geschwindigkeit am Anfang.`,
      faster: (run, percent) =>
        `Lauf ${run} wurde unterwegs ${percent} % schneller: Er hat sich erwärmt, oder Gas wurde anfangs zurückgehalten.`,
      bendOpen: (run) =>
        `Die Ablesungen von Lauf ${run} biegen sich zu wenig, um zu sagen, ob das Gas immer langsamer kam; die Unsicherheit der Geschwindigkeit lässt das offen.`,
      lateRate: (run) =>
        `Vor der ersten Ablesung von Lauf ${run} war schon viel Gas da; die Anfangsgeschwindigkeit war also höher und ist nicht bekannt.`,
      hardly: (run) => `Die Geschwindigkeit von Lauf ${run} änderte sich kaum.`,
      known: (percent) => `Die Geschwindigkeit ist auf ${percent} % bekannt.`,
      noBaseline: 'Kein Anfangsstand wurde angesagt; Gas vor der ersten Ablesung ist nicht mitgezählt.',
      scatters: 'Die Ablesungen streuen mehr als angegeben; die Unsicherheit kommt aus dieser Streuung.',
      flagged: (count) =>
        count === 1 ? 'Eine Ablesung passt nicht zu den anderen' : `${count} Ablesungen passen nicht zu den anderen`,
      sameWithout: (count) => `die Geschwindigkeit ist mit und ohne ${s(count, 'sie', 'diese')} gleich`,
      rateWithout: (count, percent, higher) =>
        `Wird ${s(count, 'sie', 'jede davon')} berichtigt oder ausgelassen, ist die Geschwindigkeit ${percent} % ${higher ? 'höher' : 'niedriger'}.`,
    },
    budget: {
      title: 'Woher die Unsicherheit von k kommt',
      source: 'Quelle',
      relative: 'u(k)/k in %',
      share: 'Anteil in %',
      ofReadings: 'Von k aus allen Ablesungen zugleich, mit den angenommenen Ordnungen.',
      ofStarting: 'Von k aus den Anfangsgeschwindigkeiten, mit den angenommenen Ordnungen.',
      sentence: (total, share, source) =>
        `k ist auf ${total} % bekannt. Am meisten trägt bei: ${source}, mit ${share} % der Varianz. Hier genauer zu messen, hilft am meisten.`,
    },
    plots: {
      run: (run) => `Lauf ${run}`,
      time: 'Zeit seit der ersten Ablesung / s',
      cylinder: 'Zylinder / mL',
      noCurve: 'keine Kurve',
      curve: (run, used, aside, how) =>
        `Lauf ${run}: Stand des Zylinders in mL gegen die Zeit in s; ${used} Ablesungen benutzt, ${aside} ausgelassen; ${how}.`,
      residuals: (run) => `Lauf ${run}: Abweichungen`,
      residualsShow: (run) => `Lauf ${run}: Ablesung minus Kurve in mL gegen die Zeit in s.`,
      residual: 'Ablesung − Kurve / mL',
      order: (species) => `Ordnung in ${species}`,
      orderShows: (species, order) =>
        `Logarithmus der Anfangsgeschwindigkeit gegen den Logarithmus der Konzentration von ${species}, ein Punkt je Lauf, mit der Geraden der Ordnung ${order}.`,
      logConcentration: (species) => `log₁₀ [${species}]₀ / (mol/L)`,
      logRate: 'log₁₀ v',
      divided: (others) => ` (bei gleichem ${others})`,
      eyring: 'Eyring-Diagramm',
      arrhenius: 'Arrhenius-Diagramm',
      byTemperature: (eyring) =>
        `${eyring ? 'Logarithmus von k durch T' : 'Logarithmus von k'} gegen 1000 durch die Temperatur in Kelvin, ein Punkt je Lauf, mit der angepassten Geraden.`,
      all: 'Alle Läufe',
      allShow: (runs, flagged) =>
        `Gas in mL seit der ersten Ablesung gegen die Zeit in s, ${s(runs, 'ein Lauf', `${runs} Läufe`)} mit ihren Kurven; ${flagged} zu prüfen.`,
      gas: 'Gas / mL',
    },
    pours: {
      title: 'Geplant und eingefüllt',
      total: 'zusammen',
      settled: {
        'as-planned': 'angesagt, wie geplant',
        accepted: 'angesagt, so übernommen',
        'topped-up': 'angesagt, aufgefüllt',
        open: 'angesagt, Unterschied offen',
      },
      putRight: 'von Hand berichtigt',
      plain: 'Ein Volumen ohne Bemerkung ist das des Plans; nichts wurde angesagt.',
      unknown: (run, ml, reagent) =>
        `Lauf ${run}: ${ml} mL „${reagent}“ wurde als eingefüllt angesagt; das ist keine Lösung des Laufplans und zählt bei den Konzentrationen nicht mit.`,
      differs: (run, solution, poured, planned, how) =>
        `Lauf ${run}, ${solution}: ${poured} eingefüllt, ${planned} geplant${how === '' ? '' : ` (${how})`}.`,
      inLaw: (labels) =>
        `${labels.length === 1 ? 'Lauf' : 'Läufe'} ${listed(labels, 'und')} ${s(labels.length, 'wurde', 'wurden')} anders gefüllt als geplant; Konzentrationen, Ordnungen und k benutzen, was eingefüllt wurde.`,
      notInPlan: 'nicht im Plan',
      plan: (ml) => `Plan ${ml}`,
    },
    pressed: (start, end) =>
      `Der steigende Stand drückt auf das Gas über der Reaktion; das ist berücksichtigt: Ein verdrängter Milliliter steht am Anfang eines Laufs für ${start} % mehr Gas und bei der letzten Ablesung für bis zu ${end} % mehr. Geschwindigkeiten in mL gelten beim Druck des Anfangs.`,
    dissolved: {
      holds: (run, ml, water) =>
        `Kohlendioxid löst sich in Wasser: In Lauf ${run} kann die Lösung ${ml} mL davon halten, ${water} (Weiss, Mar. Chem. 2 (1974) 203).`,
      water: {
        fresh: (ml) => `das frische Wasser unter dem Gas ${ml} mL`,
        'not-stated': (ml) =>
          `das Wasser unter dem Gas ${ml} mL oder mehr; in den Angaben zum Aufbau steht weder, wie viel es ist, noch, ob es gesättigt war`,
        saturated: () => 'und das Wasser unter dem Gas war damit gesättigt',
        none: () => 'und das Gas steht über keinem Wasser',
      },
      taken: (factor, low, high) =>
        `Wie viel sie wirklich halten, ist nicht bekannt: Das entstandene Gas gilt als ${factor}-mal das aufgefangene und kann ${low}- bis ${high}-mal so viel sein. Die Unsicherheit von k berücksichtigt das. Geschwindigkeiten in mL sind die des aufgefangenen Gases.`,
    },
    readings: {
      title: (title) => `Ablesungen von „${title}“`,
      reading: 'Ablesung',
      time: 'Zeit',
      volume: 'Zylinder',
      asSaid: 'wie notiert',
      heard: 'gehört',
      timedBy: 'Zeit aus',
      status: 'Stand',
      reason: 'Grund',
      changes: 'Änderungen',
      remarks: 'was damit geschah',
      statuses: {
        used: 'benutzt',
        'used, in doubt': 'benutzt, unsicher',
        'set aside': 'ausgelassen',
        struck: 'gestrichen',
      },
      timings: { sound: 'Ton', words: 'erste Worte', key: 'Taste', hand: 'getippt', file: 'aus einer Datei' },
      by: {
        ear: 'später gehörte Worte',
        expectation: 'durch spätere Ablesungen neu beurteilt',
        voice: 'mit der Stimme',
        hand: 'von Hand',
      },
      struckBy: (by) => `gestrichen (${by})`,
      restored: 'wiederhergestellt',
      putBack: 'zurückgeholt',
    },
    report: {
      begun: 'Begonnen',
      reaction: 'Reaktion',
      cylinder: 'Zylinder',
      cylinderText: (capacity, division, glass, step, span) =>
        `${capacity} mL, Teilung ${division} mL, ${glass}; angesagt alle ${step} mL über ${span} mL`,
      glassUnknown: 'Klasse nicht angegeben',
      glassClass: (accuracy) => `Klasse ${accuracy}`,
      temperature: 'Temperatur',
      temperatureText: (celsius, u) => `${celsius} °C${u === undefined ? '' : `, Standardunsicherheit ${u} °C`}`,
      pressure: 'Luftdruck',
      atBench: (hPa) => `${hPa} hPa, am Platz abgelesen`,
      atSea: (hPa, altitude, outdoor) =>
        `${hPa} hPa auf Meereshöhe, ${altitude} m darüber${outdoor === undefined ? '' : `, draußen ${outdoor} °C`}`,
      equation: (text) => text.replace('(catalyst ', '(Katalysator ').replace('(enzyme)', '(Enzym)'),
      waterHead: 'Wasserhöhe',
      standsOn: 'Das Gas steht über',
      standsOnText: (water, ml) => {
        if (water === 'none') return 'keinem Wasser (Öl, oder ein Kolbenprober)';
        const amount = ml === undefined ? '' : `${ml} mL `;
        const kinds = { fresh: 'frischem Wasser', saturated: 'Wasser, das damit gesättigt ist' };
        return `${amount}${water ? kinds[water] : 'Wasser'}`;
      },
      gasAbove: 'Gas über der Reaktion',
      corrected: (how) => `berücksichtigt: ${how}`,
      notCorrected: 'nicht berücksichtigt',
      bottle: (name) => `Flasche: ${name}`,
      unknownStrength: 'Stärke nicht bekannt',
      dilution: (name) => `Verdünnung: ${name}`,
      dilutionText: (take, from, water, total) =>
        `${take} mL ${from} ${total === undefined ? `und ${water ?? 0} mL Wasser` : `aufgefüllt auf ${total} mL`}`,
      estimates: 'Die drei Schätzungen jedes Laufs',
      estimate: 'Schätzung',
      rate: 'Geschwindigkeit',
      low95: '95 % von',
      high95: 'bis',
      verdict: 'Urteil',
      recommended: 'empfohlen',
      used: 'benutzt',
      usedByChoice: 'benutzt (selbst gewählt)',
      notebook: 'Heft',
      entries: 'Einträge',
      check: (events, sum) => `${events}, Prüfsumme ${sum}`,
      seed: 'Startwert der Zufallszahlen',
      writtenBy: 'Geschrieben von',
      app: (version, schema) => `Meniscall${version}, Heftformat ${schema}`,
    },
    limits: {
      invented: 'Die Zahlen dieses Hefts sind erfunden, um ein Ergebnis zu zeigen.',
      removed: (run, how, why) =>
        `Lauf ${run} wurde von Hand ${how === 'deleted' ? 'gelöscht' : 'beiseitegelegt'} und zählt nirgends mit${why === '' ? '.' : `: ${why}`}`,
      flagged: (run, sentence) => `Lauf ${run}, nicht ausgelassen: ${sentence}`,
      doubtful: (count) =>
        `${s(count, '1 Ablesung wird', `${count} Ablesungen werden`)} benutzt, obwohl unsicher ist, was gesagt wurde.`,
      open: (count) =>
        `${s(count, '1 Ansage', `${count} Ansagen`)} während der Läufe ${s(count, 'ergab', 'ergaben')} keinen Wert und ${s(count, 'steht', 'stehen')} nicht in der Tabelle.`,
      noBaseline: (runs) =>
        `Für Lauf ${runs} wurde kein Anfangsstand angesagt: Gas vor der ersten Ablesung ist nicht bekannt.`,
      joint: (run, what) => `Lauf ${run}: ${what}`,
      joints: {
        reload: 'Die Seite wurde im Lauf neu geöffnet; Zeiten darüber hinweg beruhen auf der Uhr des Geräts.',
        'unknown-gap':
          'Die Seite wurde im Lauf neu geöffnet, und der Uhr des Geräts war nicht zu trauen; Zeiten darüber hinweg sind nicht bekannt.',
        'clock-doubted': 'Das Gerät schlief, oder seine Uhr wurde im Lauf gestellt.',
      },
      moment: (run, seconds) => `Lauf ${run}, ${seconds} s`,
      baseline: (ml) => `Anfangsstand ${ml} mL`,
      temperature: (celsius) => `Temperatur ${celsius} °C`,
      poured: (pour, before) =>
        `eingefüllt ${pour}${before === null ? '' : ` (von Hand berichtigt; verstanden wurde ${before})`}`,
      pour: (ml, of) => `${ml} mL ${of}`,
      note: (text) => `Notiz: ${text}`,
      lastWord:
        'Das Etikett der Flasche, die Regeln vor Ort und eine fachkundige Aufsicht gehen allem hier Gesagten vor.',
    },
  },
);
