import type { Session, SessionParts } from '../../bench/session.ts';

/** Pause before a part that could not be fetched is tried again, ms. */
const againMs = 2000;

/**
 * The session of the bench, whose code comes right after the Bench is on the screen: what is said, pressed or told before
 * that waits in order, with its own moment.
 * @param onTrouble the code could not be fetched; it is tried again until it comes
 */
export function lateSession(parts: SessionParts, onTrouble: (missing: boolean) => void): Session {
  const nothing = { exchange: null, coming: '' };
  const listeners = new Set<() => void>();
  let made: Session | null = null;
  const fetched = async (): Promise<Session> => {
    for (let failures = 0; ; failures++) {
      try {
        const { makeSession } = await import('../../bench/session.ts');
        made = makeSession(parts);
        made.subscribe(() => {
          for (const listener of listeners) listener();
        });
        if (failures > 0) onTrouble(false);
        return made;
      } catch (error) {
        console.error('the session did not load', error);
        onTrouble(true);
        await new Promise((resolve) => setTimeout(resolve, againMs));
      }
    }
  };
  const coming = fetched();
  return {
    view: () => made?.view() ?? nothing,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    // A promise's callbacks run in the order in which they came.
    hear: (event) => (made ? made.hear(event) : void coming.then((session) => session.hear(event))),
    press: (meaning, pageMs) => coming.then((session) => session.press(meaning, pageMs)),
    undo: () => coming.then((session) => session.undo()),
    tell: (reply, cue) => void coming.then((session) => session.tell(reply, cue)),
    idle: () => coming.then((session) => session.idle()),
  };
}
