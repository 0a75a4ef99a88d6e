/** Units that the sentences of this room put behind numbers. */
const unit = /(?<=\d) (?=(?:%|mL|s|min|K|kJ|mol|hPa|°C|kelvin)(?![\p{L}\p{N}]))/gu;

/** A sentence in which no line ends between a number and its unit: no-break spaces (U+00A0) before units and %. */
export const unbroken = (sentence: string): string => sentence.replace(unit, '\u00a0');
