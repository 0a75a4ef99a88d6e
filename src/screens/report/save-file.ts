/** Hands a file to the browser's downloads. CSV gets a byte-order mark, without which some spreadsheets misread it. */
export function saveFile(name: string, content: string | Uint8Array, type: string): void {
  const parts = typeof content === 'string' ? [content] : [new Uint8Array(content)];
  const url = URL.createObjectURL(new Blob(type.startsWith('text/csv') ? ['\ufeff', ...parts] : parts, { type }));
  const anchor = document.createElement('a');
  anchor.href = url;
  anchor.download = name;
  anchor.click();
  // The browser reads the address after this turn; a minute is ample.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** "Iodide, Tuesday" becomes "iodide-tuesday": a name that every file system takes. */
export function fileStem(title: string): string {
  const stem = title
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 50);
  return stem === '' ? 'notebook' : stem;
}
