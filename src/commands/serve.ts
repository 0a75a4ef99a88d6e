import { readFile, stat } from 'node:fs/promises';
import { createServer } from 'node:http';
import { extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

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

/** Serves `folder` on 127.0.0.1. Rejects with the system's error when the port is taken. */
export async function serve(folder: string, port: number): Promise<Served> {
  const server = createServer(async (request, response) => {
    const path = decodeURIComponent(new URL(request.url ?? '/', 'http://localhost').pathname);
    const file = join(folder, normalize(path.endsWith('/') ? `${path}index.html` : path));
    if (!file.startsWith(folder + sep)) {
      response.writeHead(403).end();
      return;
    }
    try {
      if (!(await stat(file)).isFile()) throw new Error('not a file');
      const body = await readFile(file);
      response.writeHead(200, {
        'content-type': types[extname(file)] ?? 'application/octet-stream',
        'cache-control': path.includes('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache',
        'permissions-policy': 'microphone=(self), screen-wake-lock=(self), camera=(), geolocation=()',
        'referrer-policy': 'no-referrer',
        'x-content-type-options': 'nosniff',
      });
      response.end(body);
    } catch {
      response.writeHead(404, { 'content-type': 'text/plain; charset=utf-8' }).end('Not found');
    }
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
