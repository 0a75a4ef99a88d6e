import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';

/**
 * Browsers of other makers, driven by the standards they offer themselves: Firefox by WebDriver BiDi, WebKitGTK by
 * WebDriver. No more of either than the benchmark of engines needs.
 */
export interface DrivenBrowser {
  readonly name: string;
  readonly version: string;
  open(url: string): Promise<void>;
  /** Value of an expression in the page, awaited. It must be something that JSON can carry. */
  evaluate<T>(expression: string): Promise<T>;
  /** A press of the mouse at a place in the window, CSS pixels: a gesture that the browser takes for a person's. */
  press(x: number, y: number): Promise<void>;
  type(text: string): Promise<void>;
  /** PNG. */
  picture(): Promise<Buffer>;
  close(): Promise<void>;
}

/** The first of some programs that is installed here. */
export function findProgram(...names: string[]): string | null {
  const folders = (process.env.PATH ?? '').split(delimiter).filter(Boolean);
  const places = names.flatMap((name) => (name.includes('/') ? [name] : folders.map((folder) => join(folder, name))));
  return places.find((place) => existsSync(place)) ?? null;
}

export async function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => (typeof address === 'object' && address ? resolve(address.port) : reject(address)));
    });
  });
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** A browser that does not answer a command for so long is given up, ms. */
const answerMs = 60_000;

async function until<T>(attempt: () => Promise<T>, forMs: number): Promise<T> {
  const end = Date.now() + forMs;
  for (;;) {
    try {
      return await attempt();
    } catch (error) {
      if (Date.now() > end) throw error;
      await pause(100);
    }
  }
}

async function endOf(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  child.kill();
  await Promise.race([gone, pause(5000).then(() => child.kill('SIGKILL'))]);
}

/** The W3C's own notation of input, which both protocols take. */
const mousePress = (x: number, y: number) => ({
  type: 'pointer',
  id: 'mouse',
  parameters: { pointerType: 'mouse' },
  actions: [
    { type: 'pointerMove', x: Math.round(x), y: Math.round(y) },
    { type: 'pointerDown', button: 0 },
    { type: 'pointerUp', button: 0 },
  ],
});
const typing = (text: string) => ({
  type: 'key',
  id: 'keys',
  actions: [...text].flatMap((value) => [
    { type: 'keyDown', value },
    { type: 'keyUp', value },
  ]),
});
const asJson = (expression: string): string => `(async () => JSON.stringify((await (${expression})) ?? null))()`;

/** Firefox over WebDriver BiDi. `environment` may name a sound server. */
export async function startFirefox(executable: string, environment: NodeJS.ProcessEnv): Promise<DrivenBrowser> {
  const profile = mkdtempSync(join(tmpdir(), 'meniscall-firefox-'));
  const preferences = {
    'media.navigator.permission.disabled': true,
    'media.autoplay.default': 0,
    'browser.shell.checkDefaultBrowser': false,
    'datareporting.policy.dataSubmissionEnabled': false,
    'app.update.disabledForTesting': true,
    'browser.aboutwelcome.enabled': false,
    'remote.prefs.recommended': true,
  };
  writeFileSync(
    join(profile, 'user.js'),
    Object.entries(preferences)
      .map(([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});\n`)
      .join(''),
  );
  const port = await freePort();
  const child = spawn(
    executable,
    ['--headless', '--no-remote', '--remote-debugging-port', String(port), '--profile', profile, 'about:blank'],
    { stdio: 'ignore', env: environment },
  );
  const socket = await until(() => connected(`ws://127.0.0.1:${port}/session`), 30_000);
  const waiting = new Map<number, { resolve: (value: never) => void; reject: (error: Error) => void }>();
  let last = 0;
  socket.onmessage = ({ data }) => {
    const message = JSON.parse(String(data));
    const asked = waiting.get(message.id);
    waiting.delete(message.id);
    if (message.type === 'error') asked?.reject(new Error(`${message.error}: ${message.message}`));
    else asked?.resolve(message.result as never);
  };
  const send = <T>(method: string, params: object): Promise<T> =>
    new Promise((resolve, reject) => {
      const id = ++last;
      const timer = setTimeout(
        () => reject(new Error(`${method} ${JSON.stringify(params).slice(0, 200)}: no answer in ${answerMs / 1000} s`)),
        answerMs,
      );
      waiting.set(id, {
        resolve: (value) => {
          clearTimeout(timer);
          resolve(value);
        },
        reject,
      });
      socket.send(JSON.stringify({ id, method, params }));
    });
  const { capabilities } = await send<{ capabilities: { browserVersion: string } }>('session.new', {
    capabilities: { alwaysMatch: { unhandledPromptBehavior: { default: 'accept' } } },
  });
  const { contexts } = await send<{ contexts: { context: string }[] }>('browsingContext.getTree', {});
  const context = contexts[0]?.context ?? '';
  await send('browsingContext.setViewport', { context, viewport: { width: 390, height: 844 } });
  const act = (source: object): Promise<unknown> => send('input.performActions', { context, actions: [source] });
  return {
    name: 'Firefox',
    version: capabilities.browserVersion,
    async open(url) {
      await send('browsingContext.navigate', { context, url, wait: 'complete' });
    },
    async evaluate(expression) {
      const answer = await send<{ type: string; result?: { value: string }; exceptionDetails?: { text: string } }>(
        'script.evaluate',
        { expression: asJson(expression), target: { context }, awaitPromise: true },
      );
      if (answer.type !== 'success') throw new Error(answer.exceptionDetails?.text);
      return JSON.parse(answer.result?.value ?? 'null');
    },
    press: async (x, y) => void (await act(mousePress(x, y))),
    type: async (text) => void (await act(typing(text))),
    async picture() {
      const { data } = await send<{ data: string }>('browsingContext.captureScreenshot', { context });
      return Buffer.from(data, 'base64');
    },
    async close() {
      await Promise.race([send('browser.close', {}).catch(() => {}), pause(3000)]);
      socket.close();
      await endOf(child);
      rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    },
  };
}

function connected(address: string): Promise<WebSocket> {
  return new Promise((resolve, reject) => {
    const socket = new WebSocket(address);
    socket.onopen = () => resolve(socket);
    socket.onerror = () => reject(new Error(`no answer at ${address}`));
  });
}

/** WebKitGTK over WebDriver, in the small browser that comes with it. */
export async function startWebKit(
  driver: string,
  miniBrowser: string,
  environment: NodeJS.ProcessEnv,
): Promise<DrivenBrowser> {
  const port = await freePort();
  const child = spawn(driver, [`--port=${port}`], { stdio: 'ignore', env: environment });
  const call = async <T>(method: string, path: string, body?: object): Promise<T> => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, {
      method,
      signal: AbortSignal.timeout(answerMs),
      ...(body ? { body: JSON.stringify(body) } : {}),
    });
    const { value } = (await answer.json()) as { value: T & { error?: string; message?: string } };
    if (!answer.ok) throw new Error(`${path}: ${value.error} ${value.message}`);
    return value;
  };
  await until(() => call('GET', '/status'), 10_000);
  const { sessionId, capabilities } = await call<{ sessionId: string; capabilities: { browserVersion: string } }>(
    'POST',
    '/session',
    {
      capabilities: {
        alwaysMatch: {
          unhandledPromptBehavior: 'accept',
          'webkitgtk:browserOptions': {
            binary: miniBrowser,
            args: ['--automation', '--enable-media-stream=true'],
          },
        },
      },
    },
  );
  const session = `/session/${sessionId}`;
  await call('POST', `${session}/timeouts`, { script: answerMs, pageLoad: answerMs });
  const act = (source: object): Promise<unknown> => call('POST', `${session}/actions`, { actions: [source] });
  return {
    name: 'WebKitGTK',
    version: capabilities.browserVersion,
    async open(url) {
      await call('POST', `${session}/url`, { url });
    },
    async evaluate(expression) {
      const script = `const done = arguments[arguments.length - 1];
        ${asJson(expression)}.then((value) => done({ value }), (error) => done({ error: String(error) }));`;
      const answer = await call<{ value?: string; error?: string }>('POST', `${session}/execute/async`, {
        script,
        args: [],
      });
      if (answer.error) throw new Error(answer.error);
      return JSON.parse(answer.value ?? 'null');
    },
    press: async (x, y) => void (await act(mousePress(x, y))),
    type: async (text) => void (await act(typing(text))),
    picture: async () => Buffer.from(await call<string>('GET', `${session}/screenshot`), 'base64'),
    async close() {
      await call('DELETE', session).catch(() => {});
      await endOf(child);
    },
  };
}

/** A sound server with a microphone that hears what is played into the room. */
export interface SoundRoom {
  /** Variables by which a program finds the sound server. */
  readonly environment: NodeJS.ProcessEnv;
  /** Plays a WAV file into the room; resolves at its end. */
  play(wav: string): Promise<void>;
  close(): Promise<void>;
}

/** PulseAudio with a loudspeaker that nobody hears and a room whose monitor is the only microphone; null without it. */
export async function startSoundRoom(): Promise<SoundRoom | null> {
  const server = findProgram('pulseaudio');
  const control = findProgram('pactl');
  const player = findProgram('paplay');
  if (!server || !control || !player) return null;
  const folder = mkdtempSync(join(tmpdir(), 'meniscall-sound-'));
  const environment = { ...process.env, XDG_RUNTIME_DIR: folder, PULSE_RUNTIME_PATH: folder, PULSE_STATE_PATH: folder };
  const modules = [
    'module-native-protocol-unix',
    'module-null-sink sink_name=loudspeaker rate=48000',
    'module-null-sink sink_name=room rate=48000 channels=1',
    'module-remap-source master=room.monitor source_name=microphone source_properties=device.description=Microphone',
  ];
  const child = spawn(
    server,
    ['-n', '--daemonize=no', '--exit-idle-time=-1', ...modules.map((module) => `--load=${module}`)],
    { stdio: 'ignore', env: environment },
  );
  const tell = (...words: string[]): Buffer => execFileSync(control, words, { env: environment, stdio: 'pipe' });
  await until(async () => tell('set-default-source', 'microphone'), 10_000);
  tell('set-default-sink', 'loudspeaker');
  return {
    environment,
    play: (wav) =>
      new Promise((resolve, reject) => {
        const playing = spawn(player, ['--device=room', '--latency-msec=30', wav], {
          env: environment,
          stdio: 'ignore',
        });
        playing.once('error', reject);
        playing.once('exit', (code) => (code === 0 ? resolve() : reject(new Error(`paplay ended with ${code}`))));
      }),
    async close() {
      await endOf(child);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** A screen that nobody sees, where there is none; null where it cannot be had. */
export async function startScreen(): Promise<{ environment: NodeJS.ProcessEnv; close(): Promise<void> } | null> {
  if (process.env.DISPLAY) return { environment: {}, close: async () => {} };
  const server = findProgram('Xvfb');
  if (!server) return null;
  const number = 90 + (process.pid % 100);
  const child = spawn(server, [`:${number}`, '-screen', '0', '1280x1024x24', '-nolisten', 'tcp'], { stdio: 'ignore' });
  await until(async () => {
    if (!existsSync(`/tmp/.X11-unix/X${number}`)) throw new Error('no screen yet');
  }, 5000);
  return { environment: { DISPLAY: `:${number}` }, close: () => endOf(child) };
}
