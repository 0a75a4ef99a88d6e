import fc from 'fast-check';
import { deflateSync, zipSync } from 'fflate';
import { expect, test } from 'vitest';
import { readArchive } from '../../src/files/archive.ts';
import { readArrival } from '../../src/files/arrival.ts';
import { toBase64Url } from '../../src/files/base64url.ts';
import { harmless } from '../../src/files/csv.ts';
import { deflate, firstWords, laterWords, linkWords } from '../../src/files/deflate.ts';
import { readLink } from '../../src/files/link.ts';
import { packNotebook } from '../../src/files/pack.ts';
import { sessionWords } from '../../src/files/session-words.ts';
import { crc32 } from '../../src/log/checksum.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { anyNotebook } from './arbitrary-notebook.ts';
import { mutate, seeded, tryMutations } from './mutations.ts';

test('damaged files, links and archives are equal in meaning or refused with a sentence', () => {
  const small = fc.sample(anyNotebook, { numRuns: 20, seed: 11 });
  const tallies = [demoNotebook(1_700_000_000_000), ...small].map((notebook, i) => tryMutations(notebook, 60, 400 + i));
  expect(tallies.flatMap((tally) => tally.wrong)).toEqual([]);
  // The harness itself sees both outcomes.
  expect(tallies.reduce((sum, tally) => sum + tally.refused, 0)).toBeGreaterThan(500);
  expect(tallies.reduce((sum, tally) => sum + tally.equal, 0)).toBeGreaterThan(5);
  expect(globalThis).not.toHaveProperty('ran');
});

/** A link of the first version with a right sum over any text. */
const linkOf = (text: string, kind = 'n1'): string => {
  const bytes = new TextEncoder().encode(text);
  return withSum(kind, crc32(bytes), deflate(bytes, firstWords));
};

/** A link of today with a right sum over anything. */
const laterLink = (bytes: Uint8Array, kind = 'n3'): string => withSum(kind, crc32(bytes), bytes);

function withSum(kind: string, sum: number, bytes: Uint8Array): string {
  const whole = new Uint8Array([0, 0, 0, 0, ...bytes]);
  new DataView(whole.buffer).setUint32(0, sum);
  return `#/open/${kind}/${toBase64Url(whole)}`;
}

const packed = (bodies: unknown, count = 1): string =>
  linkOf(JSON.stringify([1, 'x', 'x-', count, [], 0, ['', []], ['=', 0], ['=', 0], ['=', 1], bodies]));

test.each([
  ['nothing', '#/open/n1/'],
  ['no link at all', 'hello'],
  ['characters of no payload', '#/open/n1/a b c'],
  ['another kind', '#/open/x1/AAAA'],
  ['a later version', '#/open/n9/AAAAAAAA'],
  ['a version of a trial', '#/open/n2/AAAAAAAA'],
  ['a sum that does not fit', '#/open/n3/AAAAAAAAAAAA'],
  ['digits that no bytes give', '#/open/n4/99999999999999999'],
  ['letters where digits belong', '#/open/n4/12a45'],
  ['no text', laterLink(new Uint8Array(0))],
  ['noise', laterLink(Uint8Array.of(0xbf, 0x9a, 0x0c, 1, 2, 3, 4, 5, 6, 7, 8, 9))],
  ['nothing but ones', laterLink(new Uint8Array(50).fill(0xff))],
  ['text that is not JSON', linkOf('hello')],
  ['JSON of another shape', linkOf('{"a":1}')],
  ['a plan that is none', linkOf('[1,2]', 'p1')],
  ['a million values from a few bytes', packed(['=', null], 1_000_000)],
  ['as many values as are allowed, all of them wrong', packed(['=', null], 200_000)],
  ['a column that promises more than it has', packed(['n', 1, 2, 3])],
  ['arrays whose lengths add up beyond all bounds', packed(['a', ['=', 9_999_999], ['=', 0]])],
  ['columns nested without end', packed(JSON.parse(`${'["a",["=",1],'.repeat(2000)}["=",1]${']'.repeat(2000)}`))],
  ['a key outside its list', packed(['o', [[7]], ['kind'], ['=', 0], [['=', 'x']]])],
  ['a negative count', packed(['a', ['=', -1], ['=', 0]])],
  ['a prototype for a key', packed(['o', [[0]], ['__proto__'], ['=', 0], [['=', { polluted: true }]]])],
])('a link with %s is refused with a sentence', (_, link) => {
  const started = performance.now();
  const read = readLink(link);
  expect(read).toMatchObject({ ok: false, sentence: expect.stringMatching(/^[A-Z].*\.$/) });
  expect(performance.now() - started).toBeLessThan(10_000);
  expect({}).not.toHaveProperty('polluted');
});

test('a decompression bomb in a link is refused without being unfolded', { timeout: 30_000 }, () => {
  // 80 MB of zeros in a link of half a megabyte; unfolding stops at 64 MB.
  const link = `#/open/n1/${toBase64Url(new Uint8Array([1, 2, 3, 4, ...deflateSync(new Uint8Array(80_000_000), { level: 1 })]))}`;
  const before = process.memoryUsage().rss;
  const read = readLink(link);
  expect(read).toMatchObject({ ok: false, sentence: expect.stringMatching(/far more than a notebook/) });
  expect(process.memoryUsage().rss - before).toBeLessThan(200_000_000);
});

test('a packed text damaged before its sum was made is some notebook or a sentence, never an exception', () => {
  const random = seeded(77);
  const text = new TextEncoder().encode(packNotebook(demoNotebook(1.7e12)));
  let refused = 0;
  for (let i = 0; i < 1000; i++) {
    const damaged = mutate(text, random);
    const read = readLink(linkOf(new TextDecoder().decode(damaged)));
    if (read.ok) expect(read.value.kind).toBe('notebook');
    else {
      refused++;
      expect(read.sentence).toMatch(/^[A-Z].*\.$/);
    }
  }
  expect(refused).toBeGreaterThan(600);
}, 60_000);

test('identifiers that count without end are refused', () => {
  const counted = (entry: unknown) =>
    linkOf(JSON.stringify([1, 'x', 'x-', 1, [], 0, ['', [entry]], ['=', 0], ['=', 0], ['=', 1], ['=', null]]));
  for (const entry of [
    [0, 'a-', 1, 1e15],
    [0, 'a-', 0.5, 2],
    [0, 'a-', 1, 'x'],
    [1e9, 'a-', 1, 5],
    [{}, [], {}, []],
  ])
    expect(readLink(counted(entry))).toMatchObject({ ok: false });
});

test.each([
  ['n3', '['.repeat(199_000)],
  ['n3', `${'['.repeat(99_000)}${']'.repeat(99_000)}`],
  ['n3', `[1,"x","x-",1,[],0,["",[]],${'["a",["=",1],'.repeat(12_000)}0${']'.repeat(12_000)}]`],
  ['p3', `["x",${'{"stocks":'.repeat(10_000)}1${'}'.repeat(10_000)}]`],
  ['p3', `["x",{"reaction":"peroxide-iodide","own":${'['.repeat(90_000)}${']'.repeat(90_000)}}]`],
])(
  'brackets nested without end (%s) are refused',
  (kind, text) => {
    const started = performance.now();
    const link = laterLink(deflate(new TextEncoder().encode(text), laterWords), kind);
    expect(readLink(link)).toMatchObject({ ok: false, sentence: expect.stringMatching(/^[A-Z].*\.$/) });
    expect(performance.now() - started).toBeLessThan(20_000);
  },
  60_000,
);

test('a decompression bomb in an archive is refused by its declared size, and a lying one is not believed', () => {
  const zip = zipSync({ 'notebook.json': new Uint8Array(20_000_000) });
  expect(readArchive(zip, { limit: 5_000_000 })).toMatchObject({
    ok: false,
    sentence: expect.stringMatching(/far more than/),
  });
  // The declared size of every entry set to 10 bytes.
  const lying = Uint8Array.from(zip);
  const view = new DataView(lying.buffer);
  for (let i = 0; i < lying.length - 46; i++)
    if (view.getUint32(i, true) === 0x02014b50) view.setUint32(i + 24, 10, true);
  expect(readArchive(lying)).toMatchObject({ ok: false });
});

test('an event with a million things wrong is refused as one with a single fault', () => {
  const text = notebookToJson(demoNotebook(0)).replace('"rivals":[]', `"rivals":[${'1,'.repeat(300_000)}1]`);
  expect(readArrival(new TextEncoder().encode(text))).toMatchObject({
    ok: false,
    sentence: expect.stringMatching(/damaged/),
  });
});

test('a file of deeply nested brackets is refused', () => {
  expect(readArrival(new TextEncoder().encode(`{"format":${'['.repeat(500_000)}`))).toMatchObject({ ok: false });
});

test('the words of the first version of the link are what they were', () => {
  // A changed word makes every link that is out there unreadable: raise the version instead.
  expect(crc32(new TextEncoder().encode(linkWords)).toString(16)).toBe('3ab25a3c');
});

test('the words that version 3 of the link adds are what they were', () => {
  expect(crc32(new TextEncoder().encode(sessionWords)).toString(16)).toBe('4814c01');
});

test('a title with markup comes in as text, and only as text', () => {
  const text = notebookToJson(demoNotebook(0))
    .replace('A first look', '<img src=x onerror=alert(1)>')
    .replace(/^ "check".*\n/m, '');
  const read = readArrival(new TextEncoder().encode(text));
  expect(read).toMatchObject({ ok: true });
});

test('a link whose list of odd ids names "__proto__" is refused and changes no prototype', () => {
  const bodies = ['o', [[0]], ['=created'], ['=', 0], [['=', 0]]];
  const link = linkOf(
    JSON.stringify([1, 'x', 'x-', 1, [['__proto__', 'changed']], 0, ['', []], ['=', 0], ['=', 0], ['=', 1], bodies]),
  );
  expect(readLink(link).ok).toBe(false);
  expect(Object.hasOwn(Array.prototype, 'id')).toBe(false);
});

test('a link with a million packed identifiers is read or refused at once', () => {
  const begun = performance.now();
  const bodies = ['o', [[0]], ['=created'], ['=', 0], [['=', 0]]];
  const many = '0'.repeat(16 * 300_000);
  const link = linkOf(JSON.stringify([1, 'x', 'x-', 1, [], 0, [many, []], ['=', 0], ['=', 0], ['=', 1], bodies]));
  expect(readLink(link).ok).toBe(false);
  // Taking each off the front of the list took minutes.
  expect(performance.now() - begun).toBeLessThan(5000);
});

test('a notebook dated beyond what a date can hold is refused', () => {
  const notebook = demoNotebook(1_700_000_000_000);
  const events = notebook.events.map((event, i) => (i === 3 ? { ...event, wallMs: 1e300 } : event));
  const read = readArrival(new TextEncoder().encode(notebookToJson({ ...notebook, events })));
  expect(read.ok).toBe(false);
});

test.each(['\u200b=1+1', '\u202e=1+1', '\ufeff@SUM(1)', '\u2066+1+2', '\u0001=1', ' \u200d-1+2'])(
  'a cell that hides a formula behind a mark that is not seen is made text: %j',
  (cell) => {
    expect(harmless(cell)).toBe(`'${cell}`);
  },
);

test.each(['constructor', '__proto__', 'toString'])(
  'a plan whose limiting reagent is called %s is refused by name',
  (limiting) => {
    const plan = {
      reaction: 'own',
      own: { name: 'x', gas: 'O2', gasPerLimiting: 1, limiting, orderSpecies: ['A'] },
      stocks: [],
      dilutions: [],
      runs: [],
    };
    const text = JSON.stringify({ format: 'meniscall-plan', schema: 1, title: 'x', plan });
    expect(readArrival(new TextEncoder().encode(text))).toMatchObject({
      ok: false,
      sentence: expect.stringMatching(/^This run sheet is damaged and was not opened: plan\.own\.limiting is not/),
    });
  },
);
