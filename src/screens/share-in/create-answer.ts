import { type Accessor, createEffect, createSignal } from 'solid-js';

/**
 * The answer to the latest question, once it is there; null before. Asks again when what the question reads changes,
 * and shows the answer before until then.
 */
export function createAnswer<T>(ask: () => Promise<T>): Accessor<T | null> {
  const [answer, setAnswer] = createSignal<T | null>(null);
  let latest: Promise<T> | null = null;
  createEffect(() => {
    const asked = ask();
    latest = asked;
    void asked.then((found) => {
      if (latest === asked) setAnswer(() => found);
    });
  });
  return answer;
}
