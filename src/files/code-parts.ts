import { crc32 } from '../log/checksum.ts';
import { type QrText, qrText } from './qr-text.ts';

/**
 * A notebook for a camera. A QR code of up to 97 modules a side is read from a phone's screen at arm's length; a link
 * that needs a denser one goes out in several codes in turn. Each part says of which notebook and which one of how many
 * it is, so that they can be caught in any order, and those of several phones side by side.
 */

/** Digits that one code takes beside a link's address and stays within 97 modules (version 20: ISO/IEC 18004, table 7). */
const digitsInOne = 1900;
/** Digits of a part, which stays within 69 modules (version 13). */
const digitsInPart = 920;
const mostParts = 60;

/**
 * The texts of the codes that carry a link of ours: one, or several to show in turn. Null where it would take more than
 * 60: a file is the better way then.
 * @example
 * codeParts('https://bench.example/#/open/n3/AQID')?.length // => 1
 */
export function codeParts(link: string): readonly QrText[] | null {
  const whole = qrText(link);
  const { characters, digits } = whole;
  const kind = /#\/open\/([a-z])4\/$/.exec(characters)?.[1];
  if (digits.length <= digitsInOne || kind === undefined) return [whole];
  const count = Math.ceil(digits.length / digitsInPart);
  if (count > mostParts) return null;
  const size = Math.ceil(digits.length / count);
  const sum = sumOf(digits);
  return Array.from({ length: count }, (_, i) => ({
    characters: `meniscall/${kind}4/${sum}/${i + 1}/${count}/`,
    digits: digits.slice(i * size, (i + 1) * size),
  }));
}

const sumOf = (digits: string): string => crc32(new TextEncoder().encode(digits)).toString(16).padStart(8, '0');

/** What a scanned code is. */
export type Caught =
  /** A link, or the last missing part: the text to open. `code`: the same for all parts of a notebook. */
  | { readonly kind: 'whole'; readonly code: string; readonly link: string }
  | { readonly kind: 'part'; readonly code: string; readonly have: number; readonly of: number }
  /** The last missing part came, and together they are not what was shown: they are forgotten and caught anew. */
  | { readonly kind: 'torn'; readonly code: string }
  /** No code of ours. */
  | { readonly kind: 'other' };

/** Puts codes together as they are caught, in any order, of several notebooks at once. */
export function makePartCollector(): { catch(text: string): Caught } {
  const known = new Map<string, Map<number, string>>();
  return {
    catch(text) {
      if (/#\/open\//.test(text)) return { kind: 'whole', code: text, link: text };
      const found = /^meniscall\/([a-z]4)\/([0-9a-f]{8})\/(\d{1,2})\/(\d{1,2})\/(\d+)$/.exec(text);
      const [, kind = '', sum = '', i = '', count = '', digits = ''] = found ?? [];
      const of = Number(count);
      if (!found || !(Number(i) >= 1 && Number(i) <= of && of <= mostParts)) return { kind: 'other' };
      const code = `${kind}/${sum}/${count}`;
      const parts = known.get(code) ?? new Map<number, string>();
      known.set(code, parts);
      parts.set(Number(i), digits);
      if (parts.size < of) return { kind: 'part', code, have: parts.size, of };
      const all = Array.from({ length: of }, (_, at) => parts.get(at + 1) ?? '').join('');
      if (sumOf(all) !== sum) {
        known.delete(code);
        return { kind: 'torn', code };
      }
      return { kind: 'whole', code, link: `#/open/${kind}/${all}` };
    },
  };
}
