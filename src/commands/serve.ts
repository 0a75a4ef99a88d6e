import { createReadStream, type Stats } from 'node:fs';
import { readFile, realpath, stat } from 'node:fs/promises';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import { extname, join, normalize, sep } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { brotliCompress, constants, gzip } from 'node:zlib';
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

/** Ways to compress, best first, by the name that `accept-encoding` gives them. */
const ways: Readonly<Record<string, (body: Buffer) => Promise<Buffer>>> = {
  // Quality 9: a phone waits for the first answer, and 11 takes ten times as long for a few per cent.
  br: (body) => promisify(brotliCompress)(body, { params: { [constants.BROTLI_PARAM_QUALITY]: 9 } }),
  gzip: (body) => promisify(gzip)(body, { level: 9 }),
};

/** What was compressed before, by way and file; a file that was built anew has another time. */
const compressed = new Map<string, Promise<Buffer>>();

interface Packed {
  readonly encoding: string;
  readonly body: Buffer;
}

/** The file compressed, where the browser takes that: once for each. Null: it goes out as it is. */
async function packedAs(file: string, { size, mtimeMs }: Stats, accepted: string): Promise<Packed | null> {
  // A way with the weight 0 is one that it does not take (RFC 9110, section 12.5.3).
  const takes = accepted.split(',').flatMap((way) => (/;\s*q=0(\.0*)?\s*$/.test(way) ? [] : way.split(';')[0]?.trim()));
  const [encoding, compress] = Object.entries(ways).find(([name]) => takes.includes(name)) ?? [];
  // Pictures are compressed already.
  if (!encoding || !compress || size === 0 || extname(file) === '.png') return null;
  const key = `${encoding} ${size} ${mtimeMs} ${file}`;
  const made = compressed.get(key) ?? readFile(file).then(compress);
  compressed.set(key, made);
  made.catch(() => compressed.delete(key));
  return { encoding, body: await made };
}

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
  const found = await stat(file);
  if (!found.isFile()) throw new Error('no file');
  const { size } = found;
  const part = rangeOf(request.headers.range, size);
  // A part is counted in bytes of the file, so a part goes out as it is.
  const packed = part === null ? await packedAs(file, found, String(request.headers['accept-encoding'] ?? '')) : null;
  const head = {
    ...headers,
    'accept-ranges': 'bytes',
    vary: 'accept-encoding',
    'content-type': types[extname(file)] ?? 'application/octet-stream',
    'cache-control': path.includes('/assets/') ? neverChanges : 'no-cache',
  };
  if (part === 'none') {
    response.writeHead(416, { ...head, 'content-range': `bytes */${size}` });
    response.end();
    return;
  }
  if (packed) {
    response.writeHead(200, {
      ...head,
      'content-encoding': packed.encoding,
      'content-length': packed.body.length,
    });
    response.end(request.method === 'HEAD' ? undefined : packed.body);
    return;
  }
  const { from, to } = part ?? { from: 0, to: size - 1 };
  response.writeHead(part ? 206 : 200, {
    ...head,
    'content-length': to + 1 - from,
    ...(part ? { 'content-range': `bytes ${from}-${to}/${size}` } : {}),
  });
  if (request.method === 'HEAD' || size === 0) response.end();
  // Piece by piece, as it is read: who asks for much and reads nothing must not fill the memory.
  else await pipeline(createReadStream(file, { start: from, end: to }), response);
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

/** A request that takes longer to arrive is given up, ms. */
const patienceMs = 5000;
/** A client that takes nothing for so long is given up, ms. By judgement. */
const stalledMs = 60_000;

/** Serves `folder` on 127.0.0.1. Rejects with the system's error when the port is taken. */
export async function serve(folder: string, port: number): Promise<Served> {
  const root = await realpath(folder);
  const patience = { headersTimeout: patienceMs, requestTimeout: patienceMs, connectionsCheckingInterval: 1000 };
  const server = createServer(patience, (request, response) => {
    answer(root, request, response).catch(() => {
      // A file that cannot be read to its end, or a client that left: half an answer is none.
      if (response.headersSent) response.destroy();
      else refuse(response, 404, 'Not found');
    });
  });
  server.timeout = stalledMs;
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, '127.0.0.1', resolve);
  });
  const address = server.address();
  const at = typeof address === 'object' && address ? address.port : port;
  return {
    address: `http://127.0.0.1:${at}/`,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
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
