import type { Page } from 'playwright-core';

/** Words that a person sees on the screen without opening anything; of a list to choose from, the chosen one. */
export function wordsSeen(page: Page): Promise<number> {
  return page.evaluate(() => {
    const main = document.querySelector('main');
    const count = (text: string): number => text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;
    const unchosen = [...(main?.querySelectorAll('select') ?? [])]
      .filter((select) => select.checkVisibility())
      .flatMap((select) => [...select.options].filter((option) => !option.selected).map((option) => option.text));
    // biome-ignore lint/performance/useDomNodeTextContent: what is folded away is not to be counted
    return count(main?.innerText ?? '') - count(unchosen.join(' '));
  });
}
