import fc from 'fast-check';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import type { Meaning } from '../../src/log/meaning.ts';
import type { Plan } from '../../src/log/plan.ts';
import type { Setup } from '../../src/log/setup.ts';
import type { Notebook } from '../../src/log/state.ts';
import { the } from '../the.ts';

/**
 * Any notebook that the schema allows: every kind of event, any text (markup, formulas, other scripts, lone halves of
 * characters excepted, which no file can hold), ids as the app makes them and others, moments in tenths of a
 * millisecond and finer ones.
 */
/** Cutting may halve a character; the half becomes U+FFFD, as in any file. */
const wellFormed = (s: string): string => new TextDecoder().decode(new TextEncoder().encode(s));
const text = (maxLength: number) =>
  fc.string({ unit: 'grapheme', maxLength }).map((s) => wellFormed(s.slice(0, maxLength)));
const words = fc.oneof(
  text(60),
  fc.constantFrom(
    '=1+1',
    '+44',
    '-5',
    '@SUM(A1)',
    '<script>alert(1)</script>',
    '"; drop',
    'a\tb\nc',
    '\\frac{1}{2} & 50 %',
    'ünïcode ± µ',
    '__proto__',
  ),
);
const name = words.filter((word) => word.length > 0).map((word) => wellFormed(word.slice(0, 40)));
const hex = (length: number) =>
  fc.string({ unit: fc.constantFrom(...'0123456789abcdef'), minLength: length, maxLength: length });
const randomId = fc.tuple(hex(8), hex(4), hex(4)).map((parts) => parts.join('-'));
/** A name that may be the key of an object. */
const key = name.filter((word) => !(word in Object.prototype));
const id = fc.oneof(
  randomId,
  fc.integer({ min: 0, max: 9 }).map((n) => `call-${n}`),
  name,
);
const ms = fc.oneof(
  { weight: 5, arbitrary: fc.integer({ min: 0, max: 80_000_000 }).map((tenths) => tenths / 10) },
  { weight: 1, arbitrary: fc.double({ min: 0, max: 1e13, noNaN: true }).map((x) => x + 0) },
  // Before the beginning of the notebook: the device slept in a run, and the pause was put in.
  { weight: 1, arbitrary: fc.double({ min: -1e13, max: 0, noNaN: true }).map((x) => x + 0) },
);
const p = fc
  .oneof(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }).map(Math.fround))
  .map((x) => x + 0);
const decimal = fc
  .tuple(fc.boolean(), fc.integer({ min: 0, max: 9_999_999 }), fc.option(fc.integer({ min: 0, max: 999 })))
  .map(([negative, whole, part]) => `${negative ? '-' : ''}${whole}${part === null ? '' : `.${part}`}`);
const by = fc.constantFrom('ear' as const, 'expectation' as const, 'voice' as const, 'hand' as const);
const happening = fc.constantFrom('swirling' as const, 'swirl-stopped' as const, 'leak' as const, 'spill' as const);
const positive = (max: number) => fc.double({ min: 0.001, max, noNaN: true });
/** Leaves out the optional members that came as undefined, as the app does. */
const lean = <T extends object>(value: T): T =>
  Object.fromEntries(Object.entries(value).filter(([, member]) => member !== undefined)) as T;
const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });

const meaning: fc.Arbitrary<Meaning> = fc.oneof(
  fc
    .record({
      kind: fc.constant('reading' as const),
      values: fc.array(fc.record({ value: decimal, timeMs: maybe(ms) }).map(lean), { minLength: 1, maxLength: 3 }),
      marked: maybe(fc.boolean()),
    })
    .map(lean),
  fc.record({
    kind: fc.constantFrom('correction' as const, 'settle' as const, 'baseline' as const, 'temperature' as const),
    value: decimal,
  }),
  fc.record({
    kind: fc.constantFrom(
      'mark' as const,
      'disregard' as const,
      'say-again' as const,
      'stand-by' as const,
      'go-ahead' as const,
      'end-run' as const,
    ),
  }),
  fc.record({ kind: fc.constant('start-run' as const), run: name }),
  fc.record({ kind: fc.constant('happening' as const), what: happening }),
  fc.record({ kind: fc.constant('poured' as const), value: decimal, reagent: words }),
  fc.record({
    kind: fc.constant('step' as const),
    which: fc.constantFrom('next' as const, 'previous' as const, 'read' as const),
  }),
  fc.record({ kind: fc.constant('note' as const), text: words }),
  fc.record({ kind: fc.constant('reply' as const), yes: fc.boolean() }),
) as fc.Arbitrary<Meaning>;

export const anySetup: fc.Arbitrary<Setup> = fc
  .record({
    stepMl: positive(100),
    spanMl: positive(1000),
    cylinder: fc.record({
      capacityMl: positive(1000),
      divisionMl: positive(10),
      accuracy: fc.constantFrom('A' as const, 'B' as const, 'unknown' as const),
    }),
    temperatureC: maybe(fc.double({ min: 0, max: 100, noNaN: true }).map((x) => x + 0)),
    uTemperatureC: maybe(positive(20)),
    pressure: maybe(
      fc.oneof(
        fc.record({ kind: fc.constant('station' as const), hPa: fc.double({ min: 500, max: 1100, noNaN: true }) }),
        fc.record({
          kind: fc.constant('sea-level' as const),
          hPa: fc.double({ min: 900, max: 1100, noNaN: true }),
          altitudeM: fc.integer({ min: -500, max: 5000 }).map((x) => x + 0),
          outdoorC: maybe(fc.double({ min: -60, max: 50, noNaN: true }).map((x) => x + 0)),
        }),
      ),
    ),
    waterHeadMm: maybe(fc.integer({ min: -2000, max: 2000 }).map((x) => x + 0)),
    backPressure: maybe(
      fc
        .record({
          on: fc.boolean(),
          headspaceMl: positive(1000),
          uHeadspaceMl: maybe(positive(1000)),
          cylinderBoreMm: positive(500),
          uCylinderBoreMm: maybe(positive(500)),
        })
        .map(lean),
    ),
    uCallMs: maybe(positive(5000)),
    callDelayMs: maybe(fc.integer({ min: -5000, max: 5000 }).map((x) => x + 0)),
  })
  .map(lean);

export const anyPlan: fc.Arbitrary<Plan> = fc
  .record({
    reaction: fc.oneof(fc.constantFrom('peroxide-iodide', 'own'), key),
    own: maybe(
      fc.record({
        name,
        gas: fc.constantFrom('O2' as const, 'H2' as const, 'CO2' as const, 'other' as const),
        gasPerLimiting: positive(10),
        limiting: key,
        orderSpecies: fc.array(key, { minLength: 1, maxLength: 3 }),
      }),
    ),
    stocks: fc.array(
      fc
        .record({
          id: key,
          name,
          species: key,
          strength: fc
            .record({
              value: positive(100),
              unit: fc.constantFrom('mol/L' as const, '%w/v' as const, 'vol-stp' as const),
              uRelative: maybe(fc.double({ min: 0, max: 1, noNaN: true }).map((x) => x + 0)),
              densityGPerMl: maybe(positive(2)),
            })
            .map(lean),
          availableMl: maybe(positive(5000)),
        })
        .map(lean),
      { maxLength: 3 },
    ),
    dilutions: fc.array(
      fc
        .record({
          id: key,
          name,
          from: key,
          takeMl: positive(100),
          addWaterMl: maybe(positive(100)),
          makeUpToMl: maybe(positive(1000)),
          vesselMl: maybe(positive(100)),
        })
        .map(lean),
      { maxLength: 2 },
    ),
    runs: fc.array(
      fc
        .record({
          label: name,
          pours: fc.array(
            fc.record({ solution: key, volumeMl: positive(100), vesselMl: maybe(positive(100)) }).map(lean),
            { maxLength: 4 },
          ),
          solids: maybe(
            fc.array(
              fc
                .record({
                  species: key,
                  massG: maybe(positive(100)),
                  uMassG: maybe(positive(1)),
                  lengthCm: maybe(positive(100)),
                  uLengthCm: maybe(positive(1)),
                  gPerM: maybe(positive(10)),
                  uGPerM: maybe(positive(1)),
                  pieces: maybe(name),
                })
                .map(lean),
              { maxLength: 2 },
            ),
          ),
          temperatureC: maybe(fc.integer({ min: 0, max: 90 })),
          note: maybe(words),
        })
        .map(lean),
      { maxLength: 4 },
    ),
  })
  .map(lean);

const inRun = fc.option(id);
const anyBody: fc.Arbitrary<EventBody> = fc.oneof(
  fc.record({
    kind: fc.constant('opened' as const),
    joined: fc.constantFrom('first' as const, 'wall-clock' as const, 'unknown' as const),
  }),
  fc.record({
    kind: fc.constant('clock-doubted' as const),
    gapMs: fc.integer({ min: -100_000, max: 100_000 }).map((x) => x + 0),
  }),
  fc.record({ kind: fc.constant('titled' as const), title: words }),
  fc.record({ kind: fc.constant('grouped' as const), group: words }),
  fc.record({ kind: fc.constant('members-named' as const), members: words }),
  fc.record({
    kind: fc.constant('class-planned' as const),
    classPlan: fc.record({ groups: fc.array(name, { maxLength: 3 }), questions: words }),
  }),
  fc.record({ kind: fc.constant('run-renamed' as const), run: id, label: name }),
  fc.record({
    kind: fc.constant('run-removed' as const),
    run: id,
    how: fc.constantFrom('set-aside' as const, 'deleted' as const),
    why: words,
  }),
  fc.record({ kind: fc.constant('run-returned' as const), run: id }),
  fc.record({ kind: fc.constant('run-split' as const), run: id, at: id, into: id, label: name }),
  fc.record({ kind: fc.constant('run-joined' as const), run: id, into: id }),
  fc.record({ kind: fc.constant('runs-ordered' as const), runs: fc.array(id, { maxLength: 4 }) }),
  fc.record({
    kind: fc.constant('readings-entered' as const),
    run: id,
    label: name,
    timing: fc.constantFrom('hand' as const, 'file' as const),
    stated: fc.boolean(),
    fromMs: ms,
    readings: fc.array(
      fc
        .record({ time: decimal, value: decimal, uTimeMs: fc.integer({ min: 0, max: 60_000 }), uVolumeMl: maybe(p) })
        .map(lean),
      { minLength: 1, maxLength: 4 },
    ),
  }),
  fc.record({ kind: fc.constant('set-up' as const), setup: anySetup }),
  fc.record({ kind: fc.constant('planned' as const), plan: anyPlan }),
  fc.record({ kind: fc.constant('run-started' as const), run: id, label: name, timeMs: maybe(ms) }).map(lean),
  fc.record({ kind: fc.constant('run-ended' as const), run: id, timeMs: maybe(ms) }).map(lean),
  fc.record({
    kind: fc.constant('called' as const),
    call: id,
    onsetMs: ms,
    endMs: fc.option(ms),
    timing: fc.constantFrom('sound' as const, 'words' as const, 'key' as const, 'hand' as const),
    uOnsetMs: fc.integer({ min: 0, max: 60_000 }),
    clip: fc.boolean(),
    run: inRun,
  }),
  fc
    .record({
      kind: fc.constant('heard' as const),
      call: id,
      ear: fc.constantFrom('browser' as const, 'own' as const, 'sound' as const, 'rehearsal' as const),
      alternatives: fc.array(fc.record({ text: words, p: fc.option(p) }), { maxLength: 4 }),
      final: fc.boolean(),
      lagMs: maybe(fc.integer({ min: -10_000, max: 10_000 }).map((x) => x + 0)),
    })
    .map(lean),
  fc.record({
    kind: fc.constant('judged' as const),
    call: id,
    outcome: fc.constantFrom(
      'taken' as const,
      'doubtful' as const,
      'unresolved' as const,
      'command' as const,
      'not-a-reading' as const,
    ),
    meaning: fc.option(meaning),
    rivals: fc.array(fc.record({ meaning, p, why: words }), { maxLength: 2 }),
    reason: words,
    by,
  }),
  fc.record({ kind: fc.constant('corrected' as const), reading: id, value: decimal, by, call: maybe(id) }).map(lean),
  fc.record({ kind: fc.constant('struck' as const), reading: id, by, call: maybe(id) }).map(lean),
  fc.record({ kind: fc.constant('restored' as const), reading: id }),
  fc.record({
    kind: fc.constant('set-aside' as const),
    reading: id,
    cause: fc.constantFrom('misheard' as const, 'late-call' as const, 'own-judgement' as const),
    why: words,
  }),
  fc.record({ kind: fc.constant('put-back' as const), reading: id }),
  fc
    .record({ kind: fc.constant('happened' as const), what: happening, timeMs: ms, run: inRun, call: maybe(id) })
    .map(lean),
  fc
    .record({
      kind: fc.constantFrom('baseline' as const, 'temperature' as const),
      value: decimal,
      timeMs: ms,
      run: inRun,
      call: maybe(id),
    })
    .map(lean),
  fc
    .record({
      kind: fc.constant('poured' as const),
      value: decimal,
      reagent: words,
      solution: maybe(name),
      timeMs: ms,
      run: inRun,
      forRun: maybe(name),
      settled: fc.constantFrom('as-planned' as const, 'accepted' as const, 'topped-up' as const, 'open' as const),
      call: maybe(id),
      replaces: maybe(id),
    })
    .map(lean),
  fc.record({ kind: fc.constant('note' as const), text: words, timeMs: ms, run: inRun, call: maybe(id) }).map(lean),
  fc.record({ kind: fc.constantFrom('paused' as const, 'resumed' as const, 'clips-deleted' as const) }),
  fc.record({ kind: fc.constant('step-reached' as const), step: fc.integer({ min: 0, max: 10_000 }) }),
  fc.record({
    kind: fc.constant('estimate-chosen' as const),
    run: id,
    estimator: fc.option(fc.constantFrom('line' as const, 'quadratic' as const, 'firstOrder' as const)),
  }),
  fc.record({ kind: fc.constant('undone' as const), event: id }),
) as fc.Arbitrary<EventBody>;

/** The same ids come up again and again within a notebook, as they do in life. */
export const anyNotebook: fc.Arbitrary<Notebook> = fc
  .record({
    // A point or two would leave the notebook's folder in an archive: no notebook has such an id.
    id: fc.oneof(
      fc.uuid(),
      name.filter((id) => !/^\.{1,2}$/.test(id)),
    ),
    title: words,
    seed: fc.integer({ min: 0, max: 0xffffffff }),
    invented: fc.boolean(),
    bodies: fc.array(anyBody, { maxLength: 30 }),
    gaps: fc.array(
      fc.oneof(
        fc.integer({ min: 0, max: 400_000 }).map((t) => t / 10),
        fc.double({ min: 0, max: 1000, noNaN: true }),
      ),
      { minLength: 31, maxLength: 31 },
    ),
    wallMs: fc.oneof(
      fc.integer({ min: 0, max: 4_000_000_000_000 }),
      fc.double({ min: -1e13, max: 1e13, noNaN: true }).map((x) => x + 0),
    ),
    ownIds: fc.boolean(),
    pages: fc.array(fc.integer({ min: 0, max: 1 }), { minLength: 31, maxLength: 31 }),
  })
  .map(({ id: notebookId, title, seed, invented, bodies, gaps, wallMs, ownIds, pages }) => {
    let atMs = 0;
    let page = 1;
    const events = [{ kind: 'created' as const, title, seed, invented, app: 'test' }, ...bodies].map(
      (body, i): NotebookEvent => {
        atMs += i === 0 ? 0 : the(gaps[i]);
        page += i === 0 ? 0 : the(pages[i]);
        return {
          id: ownIds ? `${notebookId.slice(0, 8)}-${i + 1}` : `event ${i * 7}`,
          seq: i + 1,
          atMs,
          wallMs: wallMs + Math.floor(atMs) + (i % 2),
          page,
          body,
        };
      },
    );
    return { id: notebookId, events };
  });
