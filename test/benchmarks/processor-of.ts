import type { Browser } from 'playwright-core';

/** Processor time of all processes of a browser so far, ms: a busy machine does not count. */
export async function processorOf(browser: Browser | null): Promise<() => Promise<number>> {
  const session = await browser?.newBrowserCDPSession();
  return async () => {
    const found = await session?.send('SystemInfo.getProcessInfo');
    return 1000 * (found?.processInfo ?? []).reduce((sum, one) => sum + one.cpuTime, 0);
  };
}
