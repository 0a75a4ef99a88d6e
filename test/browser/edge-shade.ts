import type { Locator } from 'playwright-core';
import { the } from '../the.ts';

/**
 * Whether the left and the right edge of a strip that scrolls sideways are shaded, as seen: the commonest colour of the
 * outermost pixels is not that of the ground it lies on.
 */
export async function shadedEdges(strip: Locator, ground: string): Promise<{ left: boolean; right: boolean }> {
  const page = strip.page();
  await strip.evaluate((element) => element.scrollIntoView({ block: 'center' }));
  const box = await strip.boundingBox();
  if (!box) throw new Error('The strip is not in sight.');
  const style = await strip.evaluate((element) => {
    const { borderLeftWidth, borderRightWidth } = getComputedStyle(element);
    return { left: Number.parseFloat(borderLeftWidth), right: Number.parseFloat(borderRightWidth) };
  });
  const view = the(page.viewportSize());
  const y = Math.max(0, box.y);
  const height = Math.min(view.height, box.y + box.height) - y;
  const commonest = async (x: number): Promise<string> => {
    const png = (await page.screenshot({ clip: { x, y, width: 1, height } })).toString('base64');
    return page.evaluate(async (data) => {
      const picture = new Image();
      picture.src = `data:image/png;base64,${data}`;
      await picture.decode();
      const canvas = document.createElement('canvas');
      canvas.width = picture.width;
      canvas.height = picture.height;
      const pen = canvas.getContext('2d')!;
      pen.drawImage(picture, 0, 0);
      const { data: bytes } = pen.getImageData(0, 0, picture.width, picture.height);
      const counts = new Map<string, number>();
      for (let i = 0; i < bytes.length; i += 4) {
        const colour = `rgb(${bytes[i]}, ${bytes[i + 1]}, ${bytes[i + 2]})`;
        counts.set(colour, (counts.get(colour) ?? 0) + 1);
      }
      return [...counts].sort(([, a], [, b]) => b - a)[0]![0];
    }, png);
  };
  const left = await commonest(Math.ceil(box.x + style.left));
  const right = await commonest(Math.floor(box.x + box.width - style.right) - 1);
  return { left: left !== ground, right: right !== ground };
}
