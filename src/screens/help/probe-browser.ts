import { promisifyRequest } from 'idb-keyval';
import { keepingSoFar } from '../../log/persistence.ts';

export interface Finding {
  readonly what: string;
  readonly works: boolean;
  /** What it means for the person, in one sentence. */
  readonly means: string;
}

/**
 * Asks the browser what it can do. The speech recogniser is only looked for, never asked: in some browsers the
 * question alone brings the page down, and only a first answer proves that it works.
 */
export async function probeBrowser(): Promise<readonly Finding[]> {
  const microphone = typeof navigator.mediaDevices?.getUserMedia === 'function';
  const allowed = await permission('microphone');
  const worklet = typeof AudioWorkletNode === 'function';
  const recogniser = 'SpeechRecognition' in window || 'webkitSpeechRecognition' in window;
  const durable = await storageWorks();
  const kept = (await keepingSoFar()) === 'promised';
  const speaks = await hasVoice();
  const awake = await keepsScreenOn();
  const offline = Boolean(navigator.serviceWorker?.controller);
  return [
    {
      what: 'Microphone',
      works: microphone && allowed !== 'denied',
      means: !microphone
        ? 'This page must be opened over https or from this machine; until then use the keys.'
        : allowed === 'denied'
          ? 'You refused it for this page: allow it in the site settings beside the address.'
          : allowed === 'granted'
            ? 'Allowed already.'
            : 'The browser will ask once.',
    },
    {
      what: 'Moments from the sound itself',
      works: worklet,
      means: worklet ? 'Good to some hundredths of a second.' : 'Moments come from the words, some tenths less sure.',
    },
    {
      what: 'A recogniser of the browser',
      works: recogniser,
      means: recogniser
        ? 'It is there; whether it answers shows only when it is used. It listens only if you allow it.'
        : 'Use the recogniser in this page, or sound marks.',
    },
    {
      what: 'The recogniser in this page',
      works: worklet && typeof Worker === 'function',
      means: 'Works offline and sends nothing.',
    },
    {
      what: 'Keeping notebooks',
      works: durable,
      means: !durable
        ? 'Storage is off or this is a private window: save your notebook as a file before you close the page.'
        : kept
          ? 'The browser promised not to clear them.'
          : 'Kept, but the browser may clear them when space gets short; save a file now and then.',
    },
    {
      what: 'Starting offline',
      works: offline,
      means: offline ? 'The page is stored on this device.' : 'Reload once while online and it will be.',
    },
    {
      what: 'Reading back aloud',
      works: speaks,
      means: speaks ? 'Off unless you switch it on.' : 'There is no voice on this device. Everything is shown.',
    },
    {
      what: 'Keeping the screen on',
      works: awake,
      means: awake ? 'While the microphone is open.' : 'Set the screen of this device to stay on.',
    },
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
