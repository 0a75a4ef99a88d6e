import { expect, test } from 'vitest';
import { makeSoundWatch } from '../../src/hearing/microphone-watch.ts';

/** A watch, and what it said in words. */
function watched() {
  const said: string[] = [];
  const watch = makeSoundWatch({
    live: (live) => said.push(live ? 'live' : 'not live'),
    trouble: (kind, stopped) => said.push(`${kind}${stopped ? ', stopped' : ''}`),
    recovered: (kind) => said.push(`${kind} over`),
  });
  return { ...watch, said: () => said.splice(0) };
}

test('a microphone that falls silent is lost, once, and found again with the next sound', () => {
  const watch = watched();
  watch.opened(1000);
  watch.heard(1100);
  watch.level(0.2);
  expect(watch.said()).toEqual(['live']);
  expect([watch.isSilent(3599), watch.isSilent(3600)]).toEqual([false, true]);
  for (let times = 0; times < 3; times++) watch.stopped('running');
  expect(watch.said()).toEqual(['not live', 'microphone-lost']);
  expect(watch.mayComeBack()).toBe(true);
  watch.heard(5000);
  watch.level(0.1);
  expect(watch.said()).toEqual(['live', 'microphone-lost over']);
  expect([watch.live(), watch.mayComeBack()]).toEqual([true, false]);
});

test('a sound system that sleeps wants a tap', () => {
  const watch = watched();
  watch.opened(0);
  watch.stopped('suspended');
  expect(watch.said()).toEqual(['needs-tap, stopped']);
  expect(watch.mayComeBack()).toBe(false);
  // Dropped by the page itself: nobody needs to know.
  watch.stopped();
  expect(watch.said()).toEqual([]);
});

test('exact zeros for more than eight seconds are a switch that is off; any sound ends that', () => {
  const watch = watched();
  watch.opened(0);
  for (let now = 0; now <= 8000; now += 500) {
    watch.heard(now);
    watch.level(0);
  }
  expect(watch.said()).toEqual(['live']);
  watch.heard(8001);
  watch.level(0);
  watch.level(0);
  expect(watch.said()).toEqual(['microphone-muted']);
  watch.heard(8100);
  watch.level(1e-6);
  watch.heard(16_100);
  watch.level(0);
  expect(watch.said()).toEqual(['microphone-muted over']);
});

test('a lost microphone is tried for every ten seconds, one that was refused is not', () => {
  const watch = watched();
  watch.tries(1000);
  expect(watch.isTryDue(99_000)).toBe(false);
  watch.tell('microphone-refused', true);
  expect([watch.isTryDue(99_000), watch.mayComeBack()]).toEqual([false, false]);
  watch.tell('microphone-lost', false);
  expect([watch.isTryDue(11_000), watch.isTryDue(11_001)]).toEqual([false, true]);
  watch.askedAgain();
  expect(watch.said()).toEqual([
    'microphone-refused, stopped',
    'microphone-lost',
    'microphone-refused over',
    'microphone-lost over',
  ]);
  watch.tell('microphone-missing', true);
  expect(watch.mayComeBack()).toBe(true);
  watch.forget();
  expect(watch.mayComeBack()).toBe(false);
});
