import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { type Launched, launch } from './browser.ts';

// WCAG 2.2, 1.4.6 (AAA): text has a contrast of 7:1, large text (24 px, or 18.66 px and bold) of 4.5:1. The Bench is read
// from two metres. axe-core looks at steady states; drawn text and states of a second are computed here.
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let launched: Launched;
let page: Page;
beforeAll(async () => {
  launched = await launch({ viewport: { width: 390, height: 844 } });
  page = launched.page;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
});
afterAll(() => launched?.close());

/** Every text of the Bench whose contrast is less than asked, with its contrast. */
const tooFaint = (): Promise<{ looked: number; faint: string[] }> =>
  page.evaluate(() => {
    const context = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
    if (!context) throw new Error('no canvas');
    type Colour = [number, number, number, number];
    const read = (text: string): Colour => {
      context.clearRect(0, 0, 1, 1);
      context.fillStyle = text;
      context.fillRect(0, 0, 1, 1);
      const [r = 0, g = 0, b = 0, a = 0] = context.getImageData(0, 0, 1, 1).data;
      return [r, g, b, a / 255];
    };
    const over = ([r, g, b, a]: Colour, [R, G, B]: Colour): Colour => [
      r * a + R * (1 - a),
      g * a + G * (1 - a),
      b * a + B * (1 - a),
      1,
    ];
    // Relative luminance as WCAG defines it.
    const luminance = ([r, g, b]: Colour): number => {
      const [R = 0, G = 0, B = 0] = [r, g, b].map((value) => {
        const part = value / 255;
        return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
      });
      return 0.2126 * R + 0.7152 * G + 0.0722 * B;
    };
    const behind = (element: Element): Colour => {
      const layers: Colour[] = [];
      for (let at: Element | null = element; at; at = at.parentElement)
        layers.push(read(getComputedStyle(at).backgroundColor));
      return layers.reverse().reduce((ground, layer) => over(layer, ground), [255, 255, 255, 1]);
    };
    let looked = 0;
    const faint: string[] = [];
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = texts.nextNode(); node; node = texts.nextNode()) {
      const element = node.parentElement;
      const text = node.textContent?.trim() ?? '';
      if (!element || text === '' || !element.checkVisibility({ opacityProperty: true, visibilityProperty: true }))
        continue;
      if (element.closest('script, style, noscript, .for-screen-readers, .skip, option, :disabled')) continue;
      const style = getComputedStyle(element);
      const drawn = element instanceof SVGElement;
      const ground = behind(element);
      const colour = read(drawn ? style.fill : style.color);
      let opacity = 1;
      for (let at: Element | null = element; at; at = at.parentElement) opacity *= Number(getComputedStyle(at).opacity);
      const [light, dark] = [over([colour[0], colour[1], colour[2], colour[3] * opacity], ground), ground]
        .map(luminance)
        .sort((a, b) => b - a);
      const ratio = ((light ?? 0) + 0.05) / ((dark ?? 0) + 0.05);
      const px = Number.parseFloat(style.fontSize);
      const large = px >= 24 || (px >= 18.66 && Number(style.fontWeight) >= 700);
      looked += 1;
      if (ratio < (large ? 4.5 : 7)) faint.push(`${text.slice(0, 40)}: ${ratio.toFixed(2)}`);
    }
    return { looked, faint };
  });

/** What axe-core says of enhanced contrast. */
async function byAxe(): Promise<string[]> {
  await page.evaluate(axe);
  return page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run(options: object): Promise<{ violations: { nodes: { target: string[] }[] }[] }> };
    };
    const { violations } = await axe.run({ runOnly: ['color-contrast-enhanced'], resultTypes: ['violations'] });
    return violations.flatMap(({ nodes }) => nodes.map(({ target }) => target.join(' ')));
  });
}

async function enough(state: string, steady = true): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    const { looked, faint } = await tooFaint();
    expect(looked, state).toBeGreaterThan(5);
    expect(faint, `${state}, ${colorScheme}`).toEqual([]);
  }
  // Once: the Bench has the same colours in both themes, as was just computed.
  if (steady) expect(await byAxe(), state).toEqual([]);
}

const type = async (...keys: readonly string[]): Promise<void> => {
  for (const key of keys) await page.keyboard.press(key);
};
const tone = (name: string): Promise<void> => page.locator(`.bench[data-tone=${name}]`).waitFor();

test('the measure finds a text that is too faint', async () => {
  await page.evaluate(() => {
    const faint = document.createElement('p');
    faint.id = 'faint';
    faint.style.color = '#777';
    faint.textContent = 'too faint';
    document.querySelector('main')?.append(faint);
  });
  // #777 on #0b0906 is 4.4:1.
  expect((await tooFaint()).faint).toEqual([expect.stringMatching(/^too faint: 4\.4/)]);
  await page.evaluate(() => document.getElementById('faint')?.remove());
});

test('every text of the Bench has AAA contrast: before a run, taken, doubtful, not understood, standing by, between runs', async () => {
  await enough('fresh');
  for (const summary of await page.locator('.bench details > summary').all()) await summary.click();
  await enough('all folds open');
  await type('s', '1', '0', 'Enter');
  await tone('taken');
  await enough('taken', false);
  await type('1', '2');
  await enough('typing');
  await type('Enter', '4', '5', 'Enter');
  await tone('doubtful');
  await enough('doubtful');
  // A digit more than a number may have.
  await type(...'1234567890');
  await tone('unresolved');
  await enough('not understood');
  await type('Escape');
  await page.getByRole('button', { name: 'Menu' }).click();
  await enough('menu open');
  await type('p');
  await page.getByText('Standing by').first().waitFor();
  await enough('standing by');
  await type('p', 'e');
  await page.getByText(/Run 1 ended/).waitFor();
  await enough('between runs');
});
