/// <reference path="./german.d.ts" />
let loading: Promise<boolean> | null = null;

/**
 * Brings the German texts, once; the build leaves them out of the first load. Resolves with whether they came just now:
 * texts on the screen are then to be looked up again. Where they cannot be fetched the page stays English.
 */
export function loadGerman(): Promise<boolean> {
  if (loading) return loading.then(() => false);
  loading = import('virtual:german').then(
    () => true,
    () => {
      loading = null;
      return false;
    },
  );
  return loading;
}
