import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { bundledBrowser } from './bundled-browser.ts';

/**
 * The real browser that tests drive. Order: the one named by CHROME_PATH; a Chrome, Chromium or Edge of the system; the
 * one that came through the package registry. Where CI is set the bundled one comes before the system's, so that a
 * system browser cannot hide a broken bundle.
 */
export interface FoundBrowser {
  readonly executable: string;
  readonly environment: Readonly<Record<string, string>>;
  readonly from: 'CHROME_PATH' | 'system' | 'bundled';
}

export class NoBrowser extends Error {
  constructor() {
    super(
      'No browser to test in: install Chrome, Chromium or Edge, or set CHROME_PATH to one (the bundled one runs on Linux x64 only).',
    );
    this.name = 'NoBrowser';
  }
}

/** @throws NoBrowser when there is none */
export async function findBrowser(environment: NodeJS.ProcessEnv = process.env): Promise<FoundBrowser> {
  const named = environment.CHROME_PATH;
  if (named) return { executable: named, environment: {}, from: 'CHROME_PATH' };
  const ways = [ofSystem, ofBundle];
  if (environment.CI) ways.reverse();
  for (const way of ways) {
    const found = await way(environment);
    if (found) return found;
  }
  throw new NoBrowser();
}

async function ofSystem(environment: NodeJS.ProcessEnv): Promise<FoundBrowser | null> {
  const executable = systemPlaces(environment).find((place) => existsSync(place));
  return executable ? { executable, environment: {}, from: 'system' } : null;
}

async function ofBundle(): Promise<FoundBrowser | null> {
  const bundled = await bundledBrowser();
  return bundled && { ...bundled, from: 'bundled' };
}

function systemPlaces(environment: NodeJS.ProcessEnv): string[] {
  if (process.platform === 'darwin')
    return [
      '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
      '/Applications/Chromium.app/Contents/MacOS/Chromium',
      '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
    ];
  if (process.platform === 'win32')
    return [environment.PROGRAMFILES, environment['PROGRAMFILES(X86)'], environment.LOCALAPPDATA]
      .filter((folder) => folder !== undefined)
      .flatMap((folder) => [
        join(folder, 'Google', 'Chrome', 'Application', 'chrome.exe'),
        join(folder, 'Chromium', 'Application', 'chrome.exe'),
        join(folder, 'Microsoft', 'Edge', 'Application', 'msedge.exe'),
      ]);
  const folders = (environment.PATH ?? '').split(':').filter(Boolean);
  const names = ['google-chrome-stable', 'google-chrome', 'chromium', 'chromium-browser', 'microsoft-edge'];
  return names.flatMap((name) => folders.map((folder) => join(folder, name)));
}

export interface LaunchOptions {
  /** A WAV file that plays once, from the moment the page opens the microphone. Without: a silent-ish test tone of Chromium's. */
  readonly microphoneWav?: string;
  /** Scripts to install before any code of a page (see fake-recogniser.ts). */
  readonly initScripts?: readonly string[];
  readonly viewport?: { readonly width: number; readonly height: number };
  /** Permissions of the context; default: microphone only. */
  readonly permissions?: readonly string[];
  readonly args?: readonly string[];
  /** A folder to keep the browser's data in over launches. Default: forgotten at close. */
  readonly profile?: string;
  /** Emulates the setting for less motion, dark colours and so on. */
  readonly colorScheme?: 'light' | 'dark';
  /** BCP-47 tag that the browser asks for pages in. Default: en-US. */
  readonly locale?: string;
  readonly baseUrl?: string;
}

export interface Launched {
  /** Null when a profile folder was given: the context is then the browser. */
  readonly browser: Browser | null;
  readonly context: BrowserContext;
  readonly page: Page;
  readonly from: FoundBrowser['from'];
  close(): Promise<void>;
}

/** Arguments for a test run; `%noloop`: the file plays once. */
export function browserArguments(microphoneWav?: string): string[] {
  return [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--no-first-run',
    // Where the system states no language the browser makes up one that Intl refuses.
    '--lang=en-US',
    '--use-fake-device-for-media-stream',
    '--use-fake-ui-for-media-stream',
    '--autoplay-policy=no-user-gesture-required',
    ...(microphoneWav ? [`--use-file-for-fake-audio-capture=${microphoneWav}%noloop`] : []),
  ];
}

/** Starts a browser with a microphone that plays a file, and opens one empty page. Close it in the test's clean-up. */
export async function launch(options: LaunchOptions = {}): Promise<Launched> {
  const found = await findBrowser();
  const start = {
    executablePath: found.executable,
    args: [...browserArguments(options.microphoneWav), ...(options.args ?? [])],
    env: { ...definedOnly(process.env), ...found.environment },
  };
  const dress = {
    permissions: [...(options.permissions ?? ['microphone'])],
    locale: options.locale ?? 'en-US',
    ...(options.viewport ? { viewport: options.viewport } : {}),
    ...(options.colorScheme ? { colorScheme: options.colorScheme } : {}),
    ...(options.baseUrl ? { baseURL: options.baseUrl } : {}),
  };
  const browser = options.profile ? null : await chromium.launch(start);
  const context = browser
    ? await browser.newContext(dress)
    : await chromium.launchPersistentContext(options.profile ?? '', { ...start, ...dress });
  for (const content of options.initScripts ?? []) await context.addInitScript({ content });
  const page = browser ? await context.newPage() : (context.pages()[0] ?? (await context.newPage()));
  return {
    browser,
    context,
    page,
    from: found.from,
    close: async () => {
      await context.close();
      await browser?.close();
    },
  };
}

function definedOnly(environment: NodeJS.ProcessEnv): Record<string, string> {
  return Object.fromEntries(
    Object.entries(environment).flatMap(([key, value]) => (value === undefined ? [] : [[key, value]])),
  );
}

/** Answers the question for the first volume, which a sound mark without one asks, by keys; the sound keeps its moment. */
export async function giveFirstVolume(page: Page, ml: number): Promise<void> {
  await page.getByText('At what volume do you start?').waitFor({ timeout: 20_000 });
  for (const key of ['c', ...String(ml), 'Enter']) await page.keyboard.press(key);
  await page.getByText(`Taken as ${ml} mL`).waitFor();
}

/** The browser's recogniser and no other ear for words, as a person would choose it before the first tap. */
export async function chooseBrowserEar(page: Page): Promise<void> {
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: 'Yes, it may send the sound to its maker' }).check();
  await page.getByRole('checkbox', { name: /^The recogniser in this page/ }).uncheck();
  await page.getByText('How it hears and answers').click();
}

/**
 * For tests in which a person speaks in real time: on a starved machine the fake microphone and the pace of the speaker
 * slip by a tenth of a second now and then. One more try.
 */
export const mayStarve = { retry: 1 };
