import { readFile, realpath } from 'node:fs/promises';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import { extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { headers, neverChanges } from './headers.ts';

/**
 * Serves the built app on the loopback address: `npm start`. The port is the environment's PORT, else 4173; 0 picks
 * a free one. Prints the address. A plain static server: any other would do (see README).
 */
const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.wasm': 'application/wasm',
  '.bin': 'application/octet-stream',
};

export interface Served {
  readonly address: string;
  close(): Promise<void>;
}

/** Names of this machine; any other `Host` is a page elsewhere whose name was made to point here. */
const ownHost = /^(localhost|127\.0\.0\.1|\[::1\])(:\d{1,5})?$/i;

function refuse(response: ServerResponse, status: number, text: string): void {
  if (!response.headersSent) response.writeHead(status, { 'content-type': 'text/plain; charset=utf-8' });
  response.end(text);
}

async function answer(root: string, request: IncomingMessage, response: ServerResponse): Promise<void> {
  if (!ownHost.test(request.headers.host ?? '')) return refuse(response, 421, 'Not this host');
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    response.setHeader('allow', 'GET, HEAD');
    return refuse(response, 405, 'Only GET and HEAD');
  }
  let path: string;
  try {
    path = decodeURIComponent(new URL(`http://localhost${request.url ?? '/'}`).pathname);
  } catch {
    return refuse(response, 400, 'Not an address');
  }
  // The true path, so that a link inside the folder cannot lead out of it.
  const file = await realpath(join(root, normalize(path.endsWith('/') ? `${path}index.html` : path)));
  if (!file.startsWith(root + sep)) return refuse(response, 403, 'Outside the app');
  const body = await readFile(file);
  const part = rangeOf(request.headers.range, body.length);
  const head = {
    ...headers,
    'accept-ranges': 'bytes',
    'content-type': types[extname(file)] ?? 'application/octet-stream',
    'cache-control': path.includes('/assets/') ? neverChanges : 'no-cache',
  };
  if (part === 'none') {
    response.writeHead(416, { ...head, 'content-range': `bytes */${body.length}` });
    response.end();
    return;
  }
  const sent = part ? body.subarray(part.from, part.to + 1) : body;
  response.writeHead(part ? 206 : 200, {
    ...head,
    'content-length': sent.length,
    ...(part ? { 'content-range': `bytes ${part.from}-${part.to}/${body.length}` } : {}),
  });
  response.end(request.method === 'HEAD' ? undefined : sent);
}

/**
 * One range of bytes (RFC 9110, section 14.2); null for no range, for several and for what is none: then all is sent.
 * 'none' where the file has nothing there.
 */
function rangeOf(header: string | undefined, length: number): { from: number; to: number } | 'none' | null {
  const [, first = '', last = ''] = /^bytes=(\d{0,15})-(\d{0,15})$/.exec(header ?? '') ?? [];
  if (first === '' && last === '') return null;
  const from = first === '' ? Math.max(0, length - Number(last)) : Number(first);
  const to = first === '' || last === '' ? length - 1 : Math.min(Number(last), length - 1);
  return from > to ? 'none' : { from, to };
}

/** Serves `folder` on 127.0.0.1. Rejects with the system's error when the port is taken. */
export async function serve(folder: string, port: number): Promise<Served> {
  const root = await realpath(folder);
  const server = createServer((request, response) => {
    answer(root, request, response).catch(() => refuse(response, 404, 'Not found'));
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, '127.0.0.1', resolve);
  });
  const address = server.address();
  const at = typeof address === 'object' && address ? address.port : port;
  return {
    address: `http://127.0.0.1:${at}/`,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const folder = fileURLToPath(new URL('../../dist', import.meta.url));
  const port = Number(process.env.PORT ?? 4173);
  serve(folder, port).then(
    ({ address }) => console.log(`Meniscall is at ${address}  (stop it with Ctrl+C)`),
    (error) => {
      console.error(
        error.code === 'EADDRINUSE'
          ? `Port ${port} is in use. Choose another: set PORT, for example PORT=4174.`
          : `Could not serve the app: ${error.message}`,
      );
      process.exitCode = 1;
    },
  );
}
