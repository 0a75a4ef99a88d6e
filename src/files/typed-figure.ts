import { pastedReadings } from './pasted-readings.ts';

/**
 * One typed cell: a time such as 65.5, 65,5 or 1:05.5 in seconds, or a volume, as the reader of pasted columns takes it;
 * null for anything else.
 * @example
 * typedFigure('1:05,5') // => '65.5'
 */
export function typedFigure(text: string): string | null {
  const read = pastedReadings(`time_s;volume_mL\n0;0\n${text.trim().replace(/;/g, '')};1`, 'en');
  const time = read.ok ? read.runs[0]?.readings[1]?.time : undefined;
  return text.trim() === '' ? null : (time ?? null);
}
