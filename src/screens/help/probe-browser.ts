import { promisifyRequest } from 'idb-keyval';
import type { PageLanguage } from '../../language/page-language.ts';
import { keepingSoFar } from '../../log/persistence.ts';
import { probeTexts } from './probe-texts.ts';

export interface Finding {
  readonly what: string;
  readonly works: boolean;
  /** What it means for the person, in one sentence. */
  readonly means: string;
}

/** What the browser answered. */
export interface Probed {
  readonly microphone: boolean;
  readonly allowed: PermissionState | 'unknown';
  readonly worklet: boolean;
  readonly recogniser: boolean;
  readonly durable: boolean;
  readonly kept: boolean;
  readonly speaks: boolean;
  readonly awake: boolean;
  readonly offline: boolean;
}

/**
 * Asks the browser what it can do. The speech recogniser is only looked for, never asked: in some browsers the
 * question alone brings the page down, and only a first answer proves that it works.
 */
export async function probeBrowser(): Promise<Probed> {
  return {
    microphone: typeof navigator.mediaDevices?.getUserMedia === 'function',
    allowed: await permission('microphone'),
    worklet: typeof AudioWorkletNode === 'function',
    recogniser: 'SpeechRecognition' in window || 'webkitSpeechRecognition' in window,
    durable: await storageWorks(),
    kept: (await keepingSoFar()) === 'promised',
    speaks: await hasVoice(),
    awake: await keepsScreenOn(),
    offline: Boolean(navigator.serviceWorker?.controller),
  };
}

/** The answers as sentences, in the order in which Help shows them. */
export function findingsOf(probed: Probed, language: PageLanguage): readonly Finding[] {
  const t = probeTexts[language];
  const { microphone, allowed, worklet, recogniser, durable, kept, speaks, awake, offline } = probed;
  const asked = allowed === 'denied' ? t.refused : allowed === 'granted' ? t.allowed : t.willAsk;
  const keeps = kept ? t.keepsPromised : t.keepsMaybe;
  return [
    { what: t.microphone, works: microphone && allowed !== 'denied', means: microphone ? asked : t.needsHttps },
    { what: t.moments, works: worklet, means: worklet ? t.momentsGood : t.momentsWords },
    { what: t.browserEar, works: recogniser, means: recogniser ? t.browserEarThere : t.browserEarNone },
    { what: t.ownEar, works: worklet && typeof Worker === 'function', means: t.ownEarHow },
    { what: t.keeping, works: durable, means: durable ? keeps : t.keepsNothing },
    { what: t.offline, works: offline, means: offline ? t.stored : t.notStored },
    { what: t.aloud, works: speaks, means: speaks ? t.voice : t.noVoice },
    { what: t.awake, works: awake, means: awake ? t.awakeWhile : t.notAwake },
  ];
}

async function permission(name: string): Promise<PermissionState | 'unknown'> {
  try {
    // The list of names in the type library lags behind the browsers.
    return (await navigator.permissions.query({ name: name as PermissionName })).state;
  } catch {
    return 'unknown';
  }
}

/** Writes a record and reads it back: some browsers open a store and then refuse what goes into it. */
async function storageWorks(): Promise<boolean> {
  const name = 'meniscall-probe';
  try {
    const request = indexedDB.open(name);
    request.onupgradeneeded = () => request.result.createObjectStore('all');
    const database = await promisifyRequest(request);
    try {
      const store = database.transaction('all', 'readwrite').objectStore('all');
      store.put(new Uint8Array([1, 2, 3]), 'probe');
      const kept: unknown = await promisifyRequest(store.get('probe'));
      return kept instanceof Uint8Array && kept.length === 3;
    } finally {
      database.close();
      indexedDB.deleteDatabase(name);
    }
  } catch {
    return false;
  }
}

/** Voices are often not known at once. */
async function hasVoice(): Promise<boolean> {
  if (!('speechSynthesis' in window)) return false;
  for (let waited = 0; waited < 1000; waited += 100) {
    if (speechSynthesis.getVoices().length > 0) return true;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  return false;
}

/** Asks for it and lets go of it again: some systems refuse what their browser knows. */
async function keepsScreenOn(): Promise<boolean> {
  if (!('wakeLock' in navigator)) return false;
  try {
    await (await navigator.wakeLock.request('screen')).release();
    return true;
  } catch {
    return false;
  }
}
