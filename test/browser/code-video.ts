import { writeFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';

/** Pictures of a phone held before a camera, as the film that Chromium plays in place of a camera. */

export const filmWidth = 960;
export const filmHeight = 720;
const framesPerSecond = 5;

/**
 * Luma of one picture: the screenshot turned by some degrees, smaller than the picture, unevenly lit and noisy. Drawn by
 * the page's canvas.
 */
async function pictured(page: Page, png: Buffer, turn: number, seed: number): Promise<Buffer> {
  const luma = await page.evaluate(
    async ({ source, turn, seed, width, height }) => {
      const image = new Image();
      image.src = source;
      await image.decode();
      const canvas = document.createElement('canvas');
      canvas.width = width;
      canvas.height = height;
      const context = canvas.getContext('2d')!;
      context.fillStyle = '#665';
      context.fillRect(0, 0, width, height);
      context.translate(width / 2, height / 2);
      context.rotate((turn * Math.PI) / 180);
      const scale = (0.86 * height) / Math.max(image.width, image.height);
      context.drawImage(
        image,
        (-image.width * scale) / 2,
        (-image.height * scale) / 2,
        image.width * scale,
        image.height * scale,
      );
      const { data } = context.getImageData(0, 0, width, height);
      let state = seed;
      let text = '';
      for (let i = 0; i < width * height; i++) {
        state = (Math.imul(state, 1_103_515_245) + 12_345) & 0x7fffffff;
        const grey = 0.3 * data[4 * i]! + 0.59 * data[4 * i + 1]! + 0.11 * data[4 * i + 2]!;
        const light = 0.65 + (0.3 * (i % width)) / width;
        text += String.fromCharCode(Math.max(16, Math.min(235, 16 + 0.82 * grey * light + (state >> 16) / 1400 - 11)));
      }
      return btoa(text);
    },
    { source: `data:image/png;base64,${png.toString('base64')}`, turn, seed, width: filmWidth, height: filmHeight },
  );
  return Buffer.from(luma, 'base64');
}

/** Writes a film (YUV4MPEG2, 4:2:0) in which each screenshot stands for some frames, slightly turned from one to the next. */
export async function writeFilm(
  page: Page,
  path: string,
  screenshots: readonly { readonly png: Buffer; readonly frames: number }[],
): Promise<void> {
  const grey = Buffer.alloc((filmWidth * filmHeight) / 2, 128);
  const pieces: Uint8Array[] = [
    Buffer.from(`YUV4MPEG2 W${filmWidth} H${filmHeight} F${framesPerSecond}:1 Ip A1:1 C420jpeg\n`),
  ];
  for (const [i, { png, frames }] of screenshots.entries())
    for (let n = 0; n < frames; n++)
      pieces.push(Buffer.from('FRAME\n'), await pictured(page, png, 3 * Math.sin(i + n), 1 + 97 * i + n), grey);
  await writeFile(path, Buffer.concat(pieces));
}
