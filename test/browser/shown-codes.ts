import type { Page } from 'playwright-core';

/** Opens a group's result as codes on its Report, and takes a picture of the phone with each of the codes in turn. */
export async function shownCodes(page: Page): Promise<Buffer[]> {
  await page.getByText('Send', { exact: true }).click();
  await page.getByRole('button', { name: 'Show our code to the class' }).click();
  const dialog = page.getByRole('dialog', { name: 'Our result as a code' });
  await dialog.locator('.qr svg').waitFor();
  const words = (await dialog.textContent()) ?? '';
  const count = Number(/of (\d+)/.exec(words)?.[1] ?? 1);
  const pictures: Buffer[] = [];
  for (let i = 1; i <= count; i++) {
    if (count > 1) await dialog.locator(`.qr svg[aria-label="Code ${i} of ${count}"]`).waitFor();
    pictures.push(await page.screenshot());
  }
  await dialog.getByRole('button', { name: 'Close' }).click();
  return pictures;
}
