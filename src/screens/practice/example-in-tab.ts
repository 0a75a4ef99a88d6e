const key = 'meniscall-example';

/** Whether the example was open in this tab before it was loaded again. */
export function exampleInTab(): boolean {
  try {
    return sessionStorage.getItem(key) !== null;
  } catch {
    return false;
  }
}

export function noteExampleInTab(open: boolean): void {
  try {
    if (open) sessionStorage.setItem(key, '');
    else sessionStorage.removeItem(key);
  } catch {
    // Storage is switched off: the example is then left by a reload, which loses nothing.
  }
}
