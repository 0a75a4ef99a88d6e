/// <reference lib="webworker" />

/**
 * Keeps the whole app on the device so that it opens without a network. Every file of the build is stored when this
 * version is installed, and none that is not what was built; a new version waits until the page says that no run is in
 * progress (or every window is closed), so an update never comes between two readings. It answers from the store and asks
 * the host only for what is not there; it talks to no other host.
 *
 * A file that was damaged or deleted in the store, by whatever, is never served: it is fetched again, and without a
 * network its place stays empty.
 */
// The page's types and the worker's share one program; only this cast tells them apart.
const worker = self as unknown as ServiceWorkerGlobalScope;

/** Filled in by the build (vite.config.ts): version, and the files of this version with their SHA-256. */
declare const __VERSION__: string;
declare const __FILES__: readonly (readonly [file: string, sha256: string])[];

const store = `meniscall-${__VERSION__}`;
const sums = new Map(__FILES__);

const addressOf = (file: string): string => new URL(file, worker.registration.scope).href;

/** The headers of bytes that are unpacked: what told of the packed ones goes. */
function plainHeaders(sent: Headers): Headers {
  const kept = new Headers(sent);
  kept.delete('content-encoding');
  kept.delete('content-length');
  return kept;
}

/** A response with its bytes, when they are those of the build; null otherwise. */
async function verified(file: string, response: Response | undefined): Promise<Response | null> {
  if (!response?.ok) return null;
  const bytes = await response.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  const sum = Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
  // Made anew: what was redirected on its way must not answer a navigation.
  return sum === sums.get(file) ? new Response(bytes, { headers: plainHeaders(response.headers) }) : null;
}

/** From the host, stored; null when it cannot be had or is of another build. */
async function fetched(cache: Cache, file: string): Promise<Response | null> {
  const response = await fetch(new Request(addressOf(file), { cache: 'reload' })).catch(() => undefined);
  const good = await verified(file, response);
  if (good) await cache.put(addressOf(file), good.clone()).catch(() => {});
  return good;
}

const kept = async (cache: Cache, file: string): Promise<Response | null> =>
  verified(file, await cache.match(addressOf(file)).catch(() => undefined));

/** Fetches again what is damaged or missing. A host with another build has a new version of this worker. */
async function heal(): Promise<void> {
  const cache = await caches.open(store);
  for (const file of sums.keys()) {
    if (await kept(cache, file)) continue;
    if (!(await fetched(cache, file))) {
      await worker.registration.update().catch(() => {});
      return;
    }
  }
}

worker.addEventListener('install', (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(store);
      const all = await Promise.all([...sums.keys()].map((file) => fetched(cache, file)));
      // All or nothing: a version is replaced whole.
      if (all.includes(null)) throw new Error('a file of this version could not be had as it was built');
    })(),
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
  if (event.data === 'check') event.waitUntil(heal());
});

/** The file of this version that answers a request, or undefined. */
function fileFor(request: Request): string | undefined {
  const { origin, pathname } = new URL(request.url);
  const { pathname: scope } = new URL(worker.registration.scope);
  const file = pathname.startsWith(scope) ? pathname.slice(scope.length) : '';
  if (origin === worker.location.origin && sums.has(file)) return file;
  // Any other address of this app opens the page itself, which has all screens in its fragment.
  return request.mode === 'navigate' ? './' : undefined;
}

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== worker.location.origin) return;
  const file = fileFor(request);
  if (file === undefined) return;
  event.respondWith(
    (async () => {
      const cache = await caches.open(store);
      // What the host sends unverified is of another build, and whole in itself.
      return (await kept(cache, file)) ?? (await fetched(cache, file)) ?? fetch(request);
    })(),
  );
});
