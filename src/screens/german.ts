/// <reference path="./german.d.ts" />

/** So long waits at most who needs the texts at once, counted from the first try, ms. By judgement. */
const patienceMs = 3000;
/** Between tries: so long after the first, longer after each, ms. By judgement. */
const againMs = 2000;

let here = false;
let coming: { readonly arrival: Promise<void>; readonly patience: Promise<void> } | null = null;

/** Whether the German texts are here. */
export const germanIsHere = (): boolean => here;

/**
 * Brings the German texts; the build leaves them out of the first load. Resolves once they are here: texts on the
 * screen are then to be looked up again. Where they cannot be fetched the page stays English, and they are asked for
 * again now and then, and as soon as there is a network.
 */
export const loadGerman = (): Promise<void> => begin().arrival;

/** The same for who cannot wait for long: resolves after three seconds at most, with or without the texts. */
export const germanSoon = (): Promise<void> => Promise.race([loadGerman(), begin().patience]);

function begin(): NonNullable<typeof coming> {
  coming ??= { arrival: fetchGerman(1), patience: new Promise((resolve) => setTimeout(resolve, patienceMs)) };
  return coming;
}

async function fetchGerman(attempt: number): Promise<void> {
  try {
    await import('virtual:german');
    here = true;
  } catch {
    await new Promise<unknown>((resolve) => {
      setTimeout(resolve, againMs * attempt);
      globalThis.addEventListener?.('online', resolve, { once: true });
    });
    return fetchGerman(attempt + 1);
  }
}
