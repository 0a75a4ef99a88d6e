import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Violation {
  readonly id: string;
  readonly target: string;
  readonly summary: string;
}

/** What axe-core finds on the page as it stands, against WCAG 2.2 A and AA. */
export async function violations(page: Page): Promise<Violation[]> {
  // Through the driver, which the page's policy does not bind.
  await page.evaluate(axe);
  return page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: {
        run(options: object): Promise<{
          violations: { id: string; nodes: { target: string[]; failureSummary?: string }[] }[];
        }>;
      };
    };
    const result = await axe.run({
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
      resultTypes: ['violations'],
    });
    return result.violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => ({ id, target: node.target.join(' '), summary: node.failureSummary ?? '' })),
    );
  });
}

/**
 * The text of the page at twice its size.
 * @returns by how many pixels the page is then wider than the window, and what axe-core finds
 */
export async function atDoubleText(page: Page): Promise<{ overflow: number; found: Violation[] }> {
  await page.evaluate(() => {
    document.documentElement.style.fontSize = '200%';
  });
  await page.waitForTimeout(200);
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  const found = await violations(page);
  await page.evaluate(() => {
    document.documentElement.style.fontSize = '';
  });
  return { overflow, found };
}
