import { keepingSoFar } from '../../notebook/persistence.ts';

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
  const speaks = 'speechSynthesis' in window;
  const awake = 'wakeLock' in navigator;
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
      works: worklet && typeof WebAssembly === 'object' && typeof Worker === 'function',
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
      means: speaks ? 'Off unless you switch it on.' : 'Everything is shown.',
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

async function storageWorks(): Promise<boolean> {
  try {
    await new Promise<void>((resolve, reject) => {
      const request = indexedDB.open('meniscall-probe');
      request.onsuccess = () => {
        request.result.close();
        indexedDB.deleteDatabase('meniscall-probe');
        resolve();
      };
      request.onerror = () => reject(request.error);
    });
    return true;
  } catch {
    return false;
  }
}
