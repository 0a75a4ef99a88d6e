import type { RecogniserConstructor } from './recogniser.ts';
import type { Surroundings } from './supervisor.ts';

/**
 * The browser's speech recognition as it is found here. Finding the constructor proves nothing: some browsers have one
 * that never answers, and some bring the page down when asked what they can do. So nothing is asked before the person
 * chooses this ear, and an attempt that never came back is remembered and not made again.
 */
export function findRecogniser(scope: object = globalThis): RecogniserConstructor | null {
  for (const name of ['SpeechRecognition', 'webkitSpeechRecognition']) {
    const found: unknown = Reflect.get(scope, name);
    if (typeof found === 'function') return found as unknown as RecogniserConstructor;
  }
  return null;
}

/** Whether this engine can be told to stay on the device: known from the interface, without asking the engine. */
export function mayListenLocally(Recogniser: RecogniserConstructor | null): boolean {
  return Recogniser !== null && typeof Recogniser.available === 'function' && 'processLocally' in Recogniser.prototype;
}

/** A note that outlives the page when the question brings it down. */
export interface AttemptNote {
  pending(): boolean;
  begin(): void;
  end(): void;
}

export type LocalReadiness = 'ready' | 'not-possible' | 'not-downloaded' | 'asking-crashed';

/**
 * Makes the engine on the device ready, downloading its language if need be (the browser does; it wants a tap and an
 * unmetered network). Never rejects.
 */
export async function prepareLocally(
  Recogniser: RecogniserConstructor,
  language: string,
  note: AttemptNote,
): Promise<LocalReadiness> {
  if (!mayListenLocally(Recogniser)) return 'not-possible';
  if (note.pending()) return 'asking-crashed';
  note.begin();
  const what = { langs: [language], processLocally: true };
  try {
    const answer = (await Recogniser.available?.(what)) ?? 'unavailable';
    if (answer === 'available') return 'ready';
    if (answer === 'unavailable') return 'not-possible';
    return (await Recogniser.install?.(what)) ? 'ready' : 'not-downloaded';
  } catch {
    return 'not-possible';
  } finally {
    note.end();
  }
}

/** Keeps the note in local storage, which is written before the question is put. */
export function makeAttemptNote(name = 'meniscall-asked-local-ear'): AttemptNote {
  return {
    pending: () => {
      try {
        return localStorage.getItem(name) !== null;
      } catch {
        return false;
      }
    },
    begin: () => {
      try {
        localStorage.setItem(name, '1');
      } catch {
        // A browser that keeps nothing: the note lives as long as the question.
      }
    },
    end: () => {
      try {
        localStorage.removeItem(name);
      } catch {
        // As above.
      }
    },
  };
}

/** What the supervisor wants to know of this page. The microphone permission is followed where the browser tells it. */
export function makeSurroundings(): Surroundings & { dispose(): void } {
  let permission: 'granted' | 'denied' | 'prompt' | 'unknown' = 'unknown';
  let status: PermissionStatus | null = null;
  const follow = (): void => {
    if (status) permission = status.state;
  };
  navigator.permissions
    ?.query({ name: 'microphone' as PermissionName })
    .then((found) => {
      status = found;
      follow();
      found.onchange = follow;
    })
    .catch(() => undefined);
  return {
    hidden: () => document.visibilityState === 'hidden',
    permission: () => permission,
    online: () => navigator.onLine !== false,
    claim: claimPage,
    dispose: () => {
      if (status) status.onchange = null;
    },
  };
}

/** One listening page per browser, by the Web Locks API; where that is missing, the claim is always granted. */
function claimPage(): Promise<(() => void) | null> {
  if (!navigator.locks) return Promise.resolve(() => undefined);
  return new Promise((resolve) => {
    navigator.locks
      .request('meniscall-ear', { ifAvailable: true }, (lock) => {
        if (!lock) {
          resolve(null);
          return;
        }
        return new Promise<void>((release) => resolve(() => release()));
      })
      .catch(() => resolve(() => undefined));
  });
}

/**
 * A phone or tablet, where as a rule only one thing at a time can have the microphone: the page or the recogniser.
 * Known by the platform's name, since trying it out would cost the person words.
 */
export function hasOneMicrophoneOwner(agent: Navigator = navigator): boolean {
  const data: unknown = Reflect.get(agent, 'userAgentData');
  const platform = typeof data === 'object' && data !== null && 'platform' in data ? String(data.platform) : '';
  if (platform === 'Android' || platform === 'iOS') return true;
  if (/Android|iPhone|iPad|iPod/.test(agent.userAgent)) return true;
  // Tablets of one maker call themselves desktops; no desktop of that maker has a touch screen.
  return /Macintosh/.test(agent.userAgent) && agent.maxTouchPoints > 1;
}

/** Sessions of one phrase are the only ones that work there (see the facts on Android). */
export function wantsOneShot(agent: Navigator = navigator): boolean {
  return /Android/.test(agent.userAgent);
}
