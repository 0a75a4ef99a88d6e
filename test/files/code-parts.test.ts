import qrcode from 'qrcode-generator';
import { expect, test } from 'vitest';
import { codeParts, makePartCollector } from '../../src/files/code-parts.ts';
import { notebookLink, readLink } from '../../src/files/link.ts';
import type { QrText } from '../../src/files/qr-text.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { voicedNotebook } from './voiced-notebook.ts';

const address = 'https://a-rather-long-school-address.example/science/meniscall/';
const textOf = ({ characters, digits }: QrText): string => characters + digits;

function modulesOf({ characters, digits }: QrText): number {
  const code = qrcode(0, 'L');
  code.addData(characters, 'Byte');
  if (digits !== '') code.addData(digits, 'Numeric');
  code.make();
  return code.getModuleCount();
}

test('three runs with keys fit into one code that a camera reads, and it opens as a link', () => {
  const notebook = groupNotebook(1);
  const parts = codeParts(notebookLink(address, notebook));
  expect(parts).toHaveLength(1);
  expect(modulesOf(parts![0]!)).toBeLessThanOrEqual(97);
  expect(makePartCollector().catch(textOf(parts![0]!))).toMatchObject({ kind: 'whole' });
});

test('a day called by voice goes out in several codes and comes back whole, in any order', () => {
  const notebook = voicedNotebook(11, (n) => `4be20c-${n}`);
  const link = notebookLink(address, notebook);
  const parts = codeParts(link)!;
  expect(parts.length).toBeGreaterThan(1);
  for (const part of parts) expect(modulesOf(part)).toBeLessThanOrEqual(73);
  const collector = makePartCollector();
  const order = [...parts].reverse();
  const caught = [order[0]!, ...order].map((part) => collector.catch(textOf(part)));
  expect(caught.slice(0, 3)).toMatchObject([
    { kind: 'part', have: 1, of: parts.length },
    { kind: 'part', have: 1, of: parts.length },
    { kind: 'part', have: 2, of: parts.length },
  ]);
  const last = caught.at(-1)!;
  if (last.kind !== 'whole') throw new Error('not whole');
  expect(readLink(last.link)).toEqual(readLink(link));
});

test('parts of two notebooks seen in turn are kept apart', () => {
  const links = [11, 12].map((seed) =>
    notebookLink(
      address,
      voicedNotebook(seed, (n) => `4be20c${seed}-${n}`),
    ),
  );
  const [first = [], second = []] = links.map((link) => codeParts(link) ?? []);
  const collector = makePartCollector();
  const whole = first
    .flatMap((part, i) => [part, ...(second[i] ? [second[i]] : [])])
    .map((part) => collector.catch(textOf(part)))
    .flatMap((caught) => (caught.kind === 'whole' ? [caught.link] : []));
  expect(whole.map(readLink)).toEqual(links.slice(0, whole.length).map(readLink));
  expect(whole.length).toBeGreaterThan(0);
});

test('a code that is not ours, or a part with nonsense in its head, is no code of ours', () => {
  for (const text of [
    '',
    'https://example.org/',
    'meniscall/n4/12345678/5/4/000',
    'meniscall/n4/12345678/1/99/0',
    'WIFI:S:x;;',
  ])
    expect(makePartCollector().catch(text)).toEqual({ kind: 'other' });
});

test('a notebook far too large for codes has none', () => {
  const digits = 'A'.repeat(60_000);
  expect(codeParts(`https://x.example/#/open/n3/${digits}`)).toBeNull();
});

test('a part that was misread is noticed when the last one comes, and the code can be caught anew', () => {
  const link = notebookLink(
    address,
    voicedNotebook(11, (n) => `4be20c-${n}`),
  );
  const parts = codeParts(link)!.map(textOf);
  const collector = makePartCollector();
  for (const part of parts.slice(1)) expect(collector.catch(part)).toMatchObject({ kind: 'part' });
  expect(collector.catch(parts[0]!.slice(0, -3))).toMatchObject({ kind: 'torn' });
  const again = [...parts, parts[0]!].map((part) => collector.catch(part).kind);
  expect(again).toEqual([...parts.slice(1).map(() => 'part'), 'whole', 'whole']);
});

test.each([
  '',
  'https://example.org/',
  'WIFI:S:lab;;',
  'meniscall/n4/00000000/0/3/1',
  'meniscall/n4/00000000/4/3/1',
  'meniscall/n4/00000000/1/99/1',
  '\0\ud800',
  'meniscall/n4/00000000/1/3/12x',
])('what is no part of ours is none: %j', (text) => {
  expect(makePartCollector().catch(text)).toEqual({ kind: 'other' });
});
