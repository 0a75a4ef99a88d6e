import { describe, expect, test } from 'vitest';
import { the } from '../the.ts';
import { makeRoom, type Room } from './room.ts';

const both = { browser: 'on', own: true } as const;

async function runStarted(): Promise<Room> {
  const room = await makeRoom({ ears: both });
  await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
  await room.pass(1000);
  for (const value of ['10', '12', '14']) {
    await room.session.press({ kind: 'reading', values: [{ value }] }, room.clock.now());
    await room.pass(10_000);
  }
  return room;
}

interface Heard {
  readonly own?: string;
  readonly browser?: string;
  /** After the end of the sound, ms. */
  readonly ownMs?: number;
  readonly browserMs?: number;
}

/** One call that each ear answers about in its time. */
async function call(room: Room, id: string, { own, browser, ownMs = 500, browserMs = 1200 }: Heard): Promise<void> {
  room.ownEar.set(id, { best: own ? [{ text: own, p: 0.9 }] : [], delayMs: Math.max(0, ownMs - 350) });
  room.sound(id, 700);
  if (browser) room.clock.after(700 + browserMs, () => room.browserSays([browser]));
  await room.pass(6000);
}

const shown = (room: Room) =>
  room
    .state()
    .runs.flatMap((run) => run.readings.filter(({ struck }) => !struck))
    .map(({ value, outcome }) => `${value}${outcome === 'doubtful' ? '?' : ''}`);

describe.each([
  ['own first', 400, 1500],
  ['browser first', 2200, 700],
])('%s', (_order, ownMs, browserMs) => {
  test('both say the same: one reading, sure', async () => {
    const room = await runStarted();
    await call(room, 'a', { own: 'sixteen', browser: '16', ownMs, browserMs });
    expect(shown(room)).toEqual(['10', '12', '14', '16']);
    expect(
      room
        .state()
        .calls.at(-1)
        ?.heard.map(({ ear }) => ear)
        .sort(),
    ).toEqual(['browser', 'own']);
  });

  test('one is silent: the other is enough', async () => {
    const room = await runStarted();
    await call(room, 'a', { own: 'sixteen', ownMs, browserMs });
    await call(room, 'b', { browser: '18', ownMs, browserMs });
    expect(shown(room)).toEqual(['10', '12', '14', '16', '18']);
  });

  test('different numbers, neither of which was due: in doubt, with both', async () => {
    const room = await runStarted();
    await call(room, 'a', { own: 'twenty three', browser: '33', ownMs, browserMs });
    const [reading] = the(room.state().runs[0]).readings.slice(-1);
    expect(reading?.outcome).toBe('doubtful');
    const said = [
      reading?.value,
      ...(reading?.rivals ?? []).map(({ meaning }) => (meaning.kind === 'reading' ? meaning.values[0]?.value : '')),
    ];
    expect(said).toEqual(expect.arrayContaining(['23', '33']));
  });

  test('a number and "disregard": no reading is struck, the call is in doubt or unresolved', async () => {
    for (const heard of [
      { own: 'disregard', browser: '16' },
      { own: 'sixteen', browser: 'disregard' },
    ]) {
      const room = await runStarted();
      await call(room, 'a', { ...heard, ownMs, browserMs });
      expect(the(room.state().runs[0]).readings.filter(({ struck }) => struck)).toEqual([]);
      const last = room.state().calls.at(-1);
      expect(['doubtful', 'unresolved']).toContain(last?.outcome);
      expect(shown(room).slice(0, 3)).toEqual(['10', '12', '14']);
    }
  });

  test('a number and "end run": the run goes on', async () => {
    const room = await runStarted();
    await call(room, 'a', { own: 'end run', browser: '16', ownMs, browserMs });
    expect(room.state().openRun).not.toBeNull();
    await call(room, 'b', { own: 'eighteen', browser: '18', ownMs, browserMs });
    expect(shown(room).at(-1)).toBe('18');
  });

  test('both say "disregard": the reading before it is struck, once', async () => {
    const room = await runStarted();
    await call(room, 'a', { own: 'disregard', browser: 'disregard', ownMs, browserMs });
    expect(shown(room)).toEqual(['10', '12']);
  });
});

test('a late "disregard" about a call that gave a reading strikes the reading before it', async () => {
  const room = await makeRoom({ ears: { browser: 'on', own: false } });
  await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
  for (const value of ['10', '12'])
    await room.session.press({ kind: 'reading', values: [{ value }] }, room.clock.now());
  await room.pass(3000);
  room.sound('a');
  room.clock.after(1500, () => room.browserSays(['14'], { final: false }));
  room.clock.after(1900, () => room.browserSays(['disregard']));
  await room.pass(8000);
  expect(shown(room)).toEqual(['10']);
});

describe('numbers in pieces', () => {
  const own = { browser: 'off', own: true } as const;
  async function started(): Promise<Room> {
    const room = await makeRoom({ ears: own });
    await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
    await room.pass(1000);
    for (const value of ['21', '23']) {
      await room.session.press({ kind: 'reading', values: [{ value }] }, room.clock.now());
      await room.pass(10_000);
    }
    return room;
  }
  const say = async (room: Room, id: string, text: string, lengthMs: number, thenMs: number): Promise<void> => {
    room.ownEar.set(id, { best: [{ text, p: 0.95 }], delayMs: 100 });
    room.sound(id, lengthMs);
    await room.pass(lengthMs + thenMs);
  };

  test('"twenty", a pause, "five": one reading of 25 at the first sound', async () => {
    const room = await started();
    const onsetMs = room.journal.timeOf(room.clock.now());
    await say(room, 'a', 'twenty', 450, 700);
    await say(room, 'b', 'five', 400, 5000);
    expect(shown(room)).toEqual(['21', '23', '25']);
    expect(the(room.state().runs[0]).readings.at(-1)?.timeMs).toBe(onsetMs);
    expect(room.state().calls.at(-1)).toMatchObject({ outcome: 'not-a-reading', clip: true });
    expect(room.state().calls.at(-1)?.reason).toContain('the rest of 25');
  });

  test('"twenty five", a pause, "point five": 25.5', async () => {
    const room = await started();
    await say(room, 'a', 'twenty five', 700, 700);
    await say(room, 'b', 'point five', 600, 5000);
    expect(shown(room)).toEqual(['21', '23', expect.stringContaining('25.5')]);
  });

  test('a number two seconds later is a call of its own', async () => {
    const room = await started();
    await say(room, 'a', 'twenty five', 700, 2600);
    await say(room, 'b', 'twenty seven', 700, 5000);
    expect(shown(room)).toEqual(['21', '23', '25', '27']);
  });

  test('one number over a restart of the recogniser: "twenty", the session ends, "five"', async () => {
    const room = await makeRoom({ ears: { browser: 'on', own: false } });
    await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
    await room.pass(1000);
    for (const value of ['21', '23']) {
      await room.session.press({ kind: 'reading', values: [{ value }] }, room.clock.now());
      await room.pass(10_000);
    }
    room.sound('a', 1400);
    await room.pass(700);
    room.browserSays(['20'], { final: false });
    await room.pass(100);
    room.browserEnds();
    await room.pass(1400);
    room.browserSays(['5']);
    await room.pass(8000);
    expect(shown(room).slice(0, 2)).toEqual(['21', '23']);
    expect(shown(room)[2]).toMatch(/^25\??$/);
    expect(shown(room)).toHaveLength(3);
  });

  test('two readings in one breath each have a moment of their own', async () => {
    const room = await started();
    const onsetMs = room.journal.timeOf(room.clock.now());
    await say(room, 'a', 'twenty five twenty seven', 1600, 5000);
    const added = the(room.state().runs[0]).readings.slice(2);
    expect(added.map(({ value }) => value)).toEqual(['25', '27']);
    expect(added.map(({ timeMs }) => timeMs - onsetMs)).toEqual([0, 800]);
  });
});
