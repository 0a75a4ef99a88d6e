import { type Accessor, createSignal, onCleanup } from 'solid-js';

/** Whether a newer version of the app is stored and waiting, and the way to change to it. */
export interface Updates {
  readonly waiting: Accessor<boolean>;
  /** Changes to the newer version and reloads. Call it only when no run is in progress. */
  change(): void;
}

/** Storing the app fetches a hundred files: the first screen and the Bench must not wait in line with them, ms. */
const afterFirstScreensMs = 1500;

/** Registers the service worker (built pages only) and watches for a newer version. */
export function createUpdates(): Updates {
  const [worker, setWorker] = createSignal<ServiceWorker | null>(null);
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return { waiting: () => false, change: () => {} };

  let asked = false;
  const onChange = (): void => {
    // The first installation also changes the controller; only a change that was asked for reloads.
    if (asked) location.reload();
  };
  navigator.serviceWorker.addEventListener('controllerchange', onChange);
  onCleanup(() => navigator.serviceWorker.removeEventListener('controllerchange', onChange));

  const watch = (registration: ServiceWorkerRegistration): void => {
    if (registration.waiting && navigator.serviceWorker.controller) setWorker(registration.waiting);
    registration.addEventListener('updatefound', () => {
      const coming = registration.installing;
      coming?.addEventListener('statechange', () => {
        if (coming.state === 'installed' && navigator.serviceWorker.controller) setWorker(coming);
      });
    });
  };
  // A host or browser that refuses service workers costs the offline start, nothing else; Help says so.
  const register = (): void => {
    forget();
    navigator.serviceWorker.register(new URL('service-worker.js', document.baseURI)).then(watch, () => {});
  };
  const later = setTimeout(register, afterFirstScreensMs);
  // Who leaves sooner finds the app without a network too.
  const onLeaving = (): void => {
    if (document.visibilityState === 'hidden') register();
  };
  document.addEventListener('visibilitychange', onLeaving);
  const forget = (): void => {
    clearTimeout(later);
    document.removeEventListener('visibilitychange', onLeaving);
  };
  onCleanup(forget);
  // What was damaged in the store, or cleared from it, is put right while there is a network.
  const check = setTimeout(() => navigator.serviceWorker.controller?.postMessage('check'), 5000);
  onCleanup(() => clearTimeout(check));

  return {
    waiting: () => worker() !== null,
    change() {
      asked = true;
      worker()?.postMessage('take over');
    },
  };
}
