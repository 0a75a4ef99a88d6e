/** Handles events one at a time, in order: what handling one brings about is the next event, not a part of this one. */
export function inTurn<E>(handle: (event: E) => void): (event: E) => void {
  const inbox: E[] = [];
  let busy = false;
  return (event) => {
    inbox.push(event);
    if (busy) return;
    busy = true;
    try {
      for (let next = inbox.shift(); next !== undefined; next = inbox.shift()) handle(next);
    } finally {
      busy = false;
    }
  };
}
