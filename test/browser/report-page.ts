import type { Page } from 'playwright-core';

/** Opens one of the report's menus: the formats of its ways out stand inside. */
export async function openMenu(page: Page, name: 'Copy' | 'Save' | 'Send' | 'Paper and figures'): Promise<void> {
  const menu = page.locator('.ways > details').filter({ has: page.getByText(name, { exact: true }) });
  await menu.waitFor();
  if ((await menu.getAttribute('open')) === null) await menu.locator('summary').first().click();
}

/** The report opens with its one page; this asks for the full one, with every table. */
export async function fullReport(page: Page): Promise<void> {
  await openMenu(page, 'Paper and figures');
  await page.getByRole('combobox', { name: /^Print/ }).selectOption('full');
  await page.getByRole('heading', { name: 'Every reading' }).waitFor();
}
