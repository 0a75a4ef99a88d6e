/** The modules of a drawn QR code as a picture, four pixels for one. */
export function qrPicture(path: string, size: number): { width: number; height: number; data: Uint8Array } {
  const width = 4 * size;
  const data = new Uint8Array(width * width * 4).fill(255);
  for (const [, x, y] of path.matchAll(/M(\d+) (\d+)h1v1h-1z/g))
    for (let i = 0; i < 16; i++) {
      const at = 4 * ((4 * Number(y) + Math.floor(i / 4)) * width + 4 * Number(x) + (i % 4));
      data.fill(0, at, at + 3);
    }
  return { width, height: width, data };
}
