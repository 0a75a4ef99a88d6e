/**
 * Whether the browser has promised not to clear this page's data when space gets short. 'unknown' where it cannot
 * be asked.
 */
export type Keeping = 'promised' | 'not-promised' | 'unknown';

/** Asks for the promise (some browsers ask the person, others decide by themselves). Never throws. */
export async function askToKeep(): Promise<Keeping> {
  try {
    if (!navigator.storage?.persist) return 'unknown';
    return (await navigator.storage.persist()) ? 'promised' : 'not-promised';
  } catch {
    return 'unknown';
  }
}

/** What was promised so far, without asking. */
export async function keepingSoFar(): Promise<Keeping> {
  try {
    if (!navigator.storage?.persisted) return 'unknown';
    return (await navigator.storage.persisted()) ? 'promised' : 'not-promised';
  } catch {
    return 'unknown';
  }
}
