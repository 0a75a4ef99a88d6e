/// <reference lib="webworker" />

/**
 * Keeps the whole app on the device so that it opens without a network. Every file of the build is stored when this
 * version is installed; a new version waits until the page says that no run is in progress (or every window is
 * closed), so an update never comes between two readings. It answers from the store and asks the host only for what
 * is not there; it talks to no other host.
 */
// The page's types and the worker's share one program; only this cast tells them apart.
const worker = self as unknown as ServiceWorkerGlobalScope;

/** Filled in by the build (vite.config.ts): version and the files of this version, relative to the scope. */
declare const __VERSION__: string;
declare const __FILES__: readonly string[];

const store = `meniscall-${__VERSION__}`;

worker.addEventListener('install', (event) => {
  event.waitUntil(
    caches.open(store).then((cache) => cache.addAll(__FILES__.map((file) => new Request(file, { cache: 'reload' })))),
  );
});

worker.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      for (const key of await caches.keys())
        if (key.startsWith('meniscall-') && key !== store) await caches.delete(key);
      await worker.clients.claim();
    })(),
  );
});

worker.addEventListener('message', (event) => {
  if (event.data === 'take over') void worker.skipWaiting();
});

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== worker.location.origin) return;
  event.respondWith(
    (async () => {
      const cache = await caches.open(store);
      const kept = await cache.match(request, { ignoreSearch: true });
      if (kept) return kept;
      // Any other address of this app opens the page itself, which has all screens in its fragment.
      return (request.mode === 'navigate' ? await cache.match('./') : undefined) ?? fetch(request);
    })(),
  );
});
