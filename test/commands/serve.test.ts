import { mkdtemp, symlink, writeFile } from 'node:fs/promises';
import { request } from 'node:http';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { headers, headersFile } from '../../src/commands/headers.ts';
import { type Served, serve } from '../../src/commands/serve.ts';

let served: Served;
beforeAll(async () => {
  const folder = await mkdtemp(join(tmpdir(), 'served-'));
  const outside = join(await mkdtemp(join(tmpdir(), 'outside-')), 'secret.txt');
  await writeFile(join(folder, 'index.html'), 'the app');
  await writeFile(join(folder, 'long.js'), 'again and '.repeat(500));
  await writeFile(outside, 'secret');
  await writeFile(join(folder, 'large.bin'), Buffer.alloc(3_000_000));
  await symlink(outside, join(folder, 'link.txt'));
  served = await serve(folder, 0);
});
afterAll(() => served.close());

/** The first line and all of the answer to a request as written, which `fetch` would tidy first. */
function ask(line: string, host = 'localhost'): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(Number(new URL(served.address).port), '127.0.0.1');
    let text = '';
    socket.on('data', (part) => {
      text += part;
    });
    socket.on('end', () => resolve(text));
    socket.on('error', reject);
    socket.write(`${line} HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);
  });
}

test.each(['/%', '//', '/%E0%A4%A', '/%00', 'http://[', '/..%2f..%2fetc/passwd', '*'])(
  'the address %s is answered and does not end the server',
  async (address) => {
    expect(await ask(`GET ${address}`)).toMatch(/^HTTP\/1\.1 [2-4]\d\d /);
    expect(await ask('GET /')).toMatch(/^HTTP\/1\.1 200 .*the app$/s);
  },
);

test('methods other than GET and HEAD are refused, and HEAD has no body', async () => {
  expect(await ask('POST /')).toMatch(/^HTTP\/1\.1 405 /);
  expect(await ask('DELETE /index.html')).toMatch(/^HTTP\/1\.1 405 /);
  const head = await ask('HEAD /');
  expect(head).toMatch(/^HTTP\/1\.1 200 /);
  expect(head).not.toContain('the app');
});

test('only names of this machine are served', async () => {
  expect(await ask('GET /', 'elsewhere.example')).toMatch(/^HTTP\/1\.1 421 /);
  expect(await ask('GET /', '127.0.0.1:4173')).toMatch(/^HTTP\/1\.1 200 /);
});

test('a symbolic link does not lead out of the folder', async () => {
  expect(await ask('GET /link.txt')).not.toContain('secret');
});

test('a part of a file is sent when it is asked for, and nothing beyond its end', async () => {
  const asked = (range: string) => ask(`GET / HTTP/1.1\r\nRange: ${range}\r\nX-Rest:`);
  expect(await asked('bytes=4-6')).toMatch(/^HTTP\/1\.1 206 .*content-range: bytes 4-6\/7\r\n.*\r\n\r\napp$/s);
  expect(await asked('bytes=-3')).toMatch(/^HTTP\/1\.1 206 .*\r\n\r\napp$/s);
  expect(await asked('bytes=4-')).toMatch(/^HTTP\/1\.1 206 .*\r\n\r\napp$/s);
  expect(await asked('bytes=99-')).toMatch(/^HTTP\/1\.1 416 .*content-range: bytes \*\/7/s);
  for (const odd of ['bytes=0-1,3-4', 'bytes=-', 'lines=1-2'])
    expect(await asked(odd)).toMatch(/^HTTP\/1\.1 200 .*the app$/s);
});

test('every answer carries the whole policy, and a static host finds the same in a file', async () => {
  const answer = await ask('GET /');
  const lines = headersFile().split('\n');
  for (const [name, value] of Object.entries(headers)) {
    expect(answer).toContain(`${name}: ${value}`);
    expect(lines).toContain(`  ${name}: ${value}`);
  }
  expect(answer).toMatch(/require-trusted-types-for 'script'/);
  expect(answer).toMatch(/microphone=\(self\), camera=\(self\)/);
});

test('other pages may not put the app into a frame', async () => {
  expect(await ask('GET /')).toContain("frame-ancestors 'none'");
});

/** A connection that says this and then waits. */
const waiting = (text: string): Socket => {
  const socket = connect(Number(new URL(served.address).port), '127.0.0.1');
  socket.on('error', () => {});
  socket.write(text);
  return socket;
};

test('a request that never ends is given up within seconds, and others are answered meanwhile', async () => {
  const slow = Array.from({ length: 100 }, () => waiting('GET / HTTP/1.1\r\nHost: loc'));
  const closed = Promise.all(slow.map((socket) => new Promise((resolve) => socket.once('close', resolve))));
  for (const socket of slow) socket.resume();
  expect(await ask('GET /')).toMatch(/^HTTP\/1\.1 200 /);
  await closed;
}, 12_000);

test('who asks for much and reads nothing does not fill the memory', async () => {
  const before = process.memoryUsage().rss;
  const greedy = waiting('GET /large.bin HTTP/1.1\r\nHost: localhost\r\n\r\n'.repeat(150));
  greedy.pause();
  await new Promise((resolve) => setTimeout(resolve, 1500));
  expect(process.memoryUsage().rss - before).toBeLessThan(150_000_000);
  greedy.destroy();
  expect(await ask('GET /')).toMatch(/^HTTP\/1\.1 200 /);
});

test('of a folder, a file with a slash behind it, and two hosts, nothing but an answer comes', async () => {
  expect(await ask('GET /index.html/')).toMatch(/^HTTP\/1\.1 404 /);
  expect(await ask('GET /', 'elsewhere.example\r\nHost: localhost')).toMatch(/^HTTP\/1\.1 421 /);
  expect(await ask('GET / HTTP/1.1\r\nTransfer-Encoding: chunked\r\nContent-Length: 3\r\nX-Rest:')).toMatch(
    /^HTTP\/1\.1 400 /,
  );
});

test('a browser that takes compressed files gets them, the same bytes when unpacked; any other gets them plain', async () => {
  const get = async (
    file: string,
    accepts: string,
  ): Promise<{ encoding: string | null; bytes: Buffer; length: number }> =>
    new Promise((resolve, reject) => {
      request(new URL(file, served.address), { headers: { 'accept-encoding': accepts } }, (answer) => {
        const parts: Buffer[] = [];
        answer.on('data', (part) => parts.push(part));
        answer.on('end', () => {
          const encoding = answer.headers['content-encoding'] ?? null;
          resolve({ encoding, bytes: Buffer.concat(parts), length: Number(answer.headers['content-length']) });
        });
      })
        .on('error', reject)
        .end();
    });
  const text = 'again and '.repeat(500);
  const brotli = await get('long.js', 'gzip, deflate, br');
  expect(brotli.encoding).toBe('br');
  expect(brotli.length).toBe(brotli.bytes.length);
  expect(brotli.bytes.length).toBeLessThan(100);
  expect(brotliDecompressSync(brotli.bytes).toString()).toBe(text);
  const zipped = await get('long.js', 'gzip');
  expect(zipped.encoding).toBe('gzip');
  expect(gunzipSync(zipped.bytes).toString()).toBe(text);
  for (const accepts of ['', 'identity', 'br;q=0']) {
    const plain = await get('long.js', accepts);
    expect([plain.encoding, plain.bytes.toString()]).toEqual([null, text]);
  }
});

test('the server ends though a client has stopped reading', { timeout: 5000 }, async () => {
  const folder = await mkdtemp(join(tmpdir(), 'served-'));
  await writeFile(join(folder, 'large.bin'), Buffer.alloc(30_000_000));
  const own = await serve(folder, 0);
  const socket = connect(Number(new URL(own.address).port), '127.0.0.1');
  socket.on('error', () => {});
  socket.write('GET /large.bin HTTP/1.1\r\nHost: localhost\r\n\r\n');
  await new Promise((resolve) => socket.once('readable', resolve));
  await own.close();
  socket.destroy();
});
