/** Lets the page do what is due (a press, a frame, a sound) before long work goes on. */
export function rest(): Promise<void> {
  return new Promise((resolve) => {
    // A message, not a timer: browsers make timers wait 4 ms once they follow each other.
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });
}

/** So many events are read, checked or folded before the page gets its turn: some 20 ms of work on a slow phone. */
export const eventsBetweenRests = 500;
