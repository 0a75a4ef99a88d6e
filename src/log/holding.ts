/**
 * One window at a time may add to a notebook: two would each number their events and one would be refused. The
 * window that holds a notebook keeps a Web Lock; the lock ends with the page, so a crash frees it.
 */
export interface Holding {
  release(): void;
  /** Resolves when another window took the notebook over. */
  readonly lost: Promise<void>;
}

/**
 * Holds a notebook for this window. Null when another window holds it and `takeOver` is false. A page that was just
 * reloaded may find its own old lock for a moment, so it asks a few times within a second.
 * Where the browser has no locks it answers at once: the store still refuses a number that is taken.
 */
export async function holdNotebook(id: string, takeOver = false): Promise<Holding | null> {
  if (!navigator.locks) return unguarded();
  for (let attempt = 0; attempt < 6; attempt++) {
    const holding = await ask(`meniscall-notebook-${id}`, takeOver);
    if (holding) return holding;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  return null;
}

/** A browser that does not say whether a lock is free is not waited for, ms. By judgement. */
const answerMs = 3000;

const unguarded = (): Holding => ({ release: () => {}, lost: new Promise(() => {}) });

function ask(name: string, steal: boolean): Promise<Holding | null> {
  return new Promise((answer) => {
    let release = (): void => {};
    let released = false;
    let held = false;
    const letGo = (): void => {
      released = true;
      release();
    };
    // Goes on without an answer; a lock that is granted later still guards this window.
    let waiting = true;
    const timer = setTimeout(() => {
      waiting = false;
      answer({ release: letGo, lost });
    }, answerMs);
    const lost = new Promise<void>((tell) => {
      navigator.locks
        .request(name, steal ? { steal: true } : { ifAvailable: true }, (lock) => {
          clearTimeout(timer);
          if (!lock) {
            answer(null);
            if (!waiting) tell();
            return;
          }
          if (released) return;
          return new Promise<void>((done) => {
            release = done;
            held = true;
            answer({ release: letGo, lost });
          });
        })
        // A stolen lock rejects its holder's request; a browser that keeps no data may refuse locks altogether.
        .catch(() => {
          clearTimeout(timer);
          if (held && !released) tell();
          else if (waiting) answer(unguarded());
        });
    });
  });
}
