import { fromBase64Url } from './base64url.ts';
import { toDecimal } from './decimal.ts';

/** A text for a QR code in two segments: characters, then digits, which take less than half the room. */
export interface QrText {
  readonly characters: string;
  readonly digits: string;
}

/** Most bits that a QR code holds: version 40, error correction L (ISO/IEC 18004, table 7: 2,956 code words). */
const mostBits = 2956 * 8;

/** A link of ours with what it carries as digits (version 4 of the packing); any other text as it is. */
export function qrText(link: string): QrText {
  const [, before, payload] = /^(.*#\/open\/[a-z])3\/([A-Za-z0-9_-]+)$/.exec(link) ?? [];
  const bytes = payload === undefined ? null : fromBase64Url(payload);
  if (before === undefined || bytes === null) return { characters: link, digits: '' };
  return { characters: `${before}4/`, digits: toDecimal(bytes) };
}

/** Does it fit into one QR code? Counts both segments with their heads (ISO/IEC 18004, 7.4: 4 bits and a length). */
export function fitsQrCode(link: string): boolean {
  const { characters, digits } = qrText(link);
  return 4 + 16 + 8 * characters.length + 4 + 14 + Math.ceil((10 * digits.length) / 3) <= mostBits;
}
