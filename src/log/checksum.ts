/**
 * Sums by which a damaged file or link is known: against accidents, not against forgery (whoever can change a file can
 * change its sum).
 */

/** The rest that each byte leaves, as a view: its reads are checked and as fast as those of a list. */
const table = new DataView(new ArrayBuffer(4 * 256));
for (let n = 0; n < 256; n++) {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  table.setUint32(4 * n, c);
}

/** CRC-32 as in ISO 3309 and ITU-T V.42 (the one of PNG and ZIP), as an unsigned number. Check: "123456789" gives cbf43926. */
export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = table.getUint32(4 * ((c ^ byte) & 0xff)) ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

const encoder = new TextEncoder();

/** The sum of a JSON value whatever the order of its keys and the spaces between them: eight hexadecimal digits. */
export function checksumOf(value: unknown): string {
  return crc32(encoder.encode(canonicalJson(value)))
    .toString(16)
    .padStart(8, '0');
}

/** JSON with keys in order of their code units and no spaces; members that are undefined are left out. */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'string') return quoted(value);
  // As JSON writes them; most of a notebook is numbers.
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : 'null';
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  let text = '';
  if (Array.isArray(value)) {
    for (const item of value) text += `${text === '' ? '' : ','}${canonicalJson(item ?? null)}`;
    return `[${text}]`;
  }
  const members = value as Readonly<Record<string, unknown>>;
  for (const key of Object.keys(members).sort()) {
    const member = members[key];
    if (member !== undefined) text += `${text === '' ? '' : ','}${quoted(key)}:${canonicalJson(member)}`;
  }
  return `{${text}}`;
}

/** Text that needs no escape is quoted as it is, which is several times as fast. */
const quoted = (text: string): string => (/^[ !#-[\]-~]*$/.test(text) ? `"${text}"` : JSON.stringify(text));
