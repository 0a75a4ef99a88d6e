import { mkdtemp, readdir, readFile, rm, stat } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build } from 'vite';
import { launch } from '../browser/browser.ts';
import { makeItems, meaningOf, prepare, utter, voices } from './ear-sound.ts';

const types: Record<string, string> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.bin': 'application/octet-stream',
};

/** Time from the end of an utterance to the answer in headless Chromium, in the ear's one worker; sizes of what is fetched. */
export async function browserTable(count = 40): Promise<void> {
  const out = await mkdtemp(join(tmpdir(), 'ear-'));
  await build({
    root: fileURLToPath(new URL('./ear-page', import.meta.url)),
    base: './',
    configFile: false,
    logLevel: 'error',
    worker: { format: 'es' },
    build: { outDir: out, assetsInlineLimit: 0, emptyOutDir: true, target: 'es2022' },
  });
  const server = createServer((request, response) => {
    const path = join(out, request.url === '/' ? 'index.html' : (request.url ?? ''));
    readFile(path).then(
      (body) => response.writeHead(200, { 'content-type': types[extname(path)] ?? 'text/plain' }).end(body),
      () => response.writeHead(404).end(),
    );
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const items = makeItems(count, 77);
  prepare(items.map(({ text }, i) => ({ text, voice: voices[i % voices.length]! })));
  const sounds: number[][] = [];
  for (const [i, { text }] of items.entries())
    sounds.push([...(await utter(text, voices[i % voices.length]!, 20, i, 48_000)).samples]);
  const { page, close } = await launch();
  try {
    await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
    const run = await page.evaluate(({ list, rate }) => window.timeEar(list, rate), { list: sounds, rate: 48_000 });
    const sorted = [...run.ms].sort((a, b) => a - b);
    const right = run.texts.filter((text, i) => meaningOf(text) === items[i]!.meaning).length;
    const seconds = sounds.reduce((sum, sound) => sum + sound.length / 48_000, 0) / sounds.length;
    console.log(
      `Headless Chromium, one worker, ${count} utterances of ${seconds.toFixed(2)} s on average at 48 kHz, 20 dB`,
    );
    console.log(
      `  handing over to answer: median ${sorted[count >> 1]!.toFixed(0)} ms, 95 % under ${sorted[Math.floor(count * 0.95)]!.toFixed(0)} ms; loading ${run.loadMs.toFixed(0)} ms; right ${right} of ${count}`,
    );
    let gzipped = 0;
    const sizes: string[] = [];
    for (const name of await readdir(join(out, 'assets'))) {
      const bytes = await readFile(join(out, 'assets', name));
      const size = gzipSync(bytes, { level: 9 }).length;
      gzipped += size;
      sizes.push(
        `${name.replace(/-[\w-]{8}\./, '.')} ${((await stat(join(out, 'assets', name))).size / 1000).toFixed(0)} kB (${(size / 1000).toFixed(0)} gzip)`,
      );
    }
    console.log(`  fetched: ${sizes.join(', ')}; together ${(gzipped / 1000).toFixed(0)} kB gzip`);
  } finally {
    await close();
    server.close();
    await rm(out, { recursive: true, force: true });
  }
}
