import { expect, test } from 'vitest';
import { readArrivalText } from '../../src/files/arrival.ts';
import { type HandOut, handOutFromRaw, handOutToJson } from '../../src/files/hand-out.ts';
import { notebookLink, planLink, readLink } from '../../src/files/link.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { groupNotebook } from '../class/class-notebooks.ts';

const handOut: HandOut = {
  title: 'Iodide, Friday',
  plan: { reaction: 'peroxide-iodide', stocks: [], dilutions: [], runs: [{ label: '1', pours: [] }] },
  setup: { ...defaultSetup, stepMl: 4, spanMl: 16, temperatureC: 21.5, pressure: { kind: 'station', hPa: 1004 } },
  groups: ['Otters', 'Herons'],
  questions: 'What is the order?\nWhat would you doubt?',
};
const link = notebookLink('https://example.org/', groupNotebook(1));
const plan = planLink('https://example.org/', handOut);
const broken = (text: string, by: string) => (text.match(/.{1,76}/g) ?? []).join(by);

test.each([
  ['a full stop', (l: string) => `${l}.`],
  ['angle brackets', (l: string) => `<${l}>`],
  ['a closing bracket', (l: string) => `(${l})`],
  ['a sentence', (l: string) => `Open ${l}, please, and start.`],
  ['a sentence that goes on in words', (l: string) => `Here: ${l} is the link for Friday`],
  ['escaped slashes', (l: string) => l.replace('#/open/', '#%2Fopen%2F').replace(/\/([np]2)\//, '/$1/')],
  ['everything escaped', (l: string) => encodeURIComponent(l)],
  ['the line ends of a mail', (l: string) => broken(l, '\r\n')],
  ['the soft line ends of a mail', (l: string) => broken(l, '=\r\n')],
  ['quoted lines', (l: string) => `> ${broken(l, '\n> ')}\n> thank you`],
  ['marks of emphasis', (l: string) => `_${l}_`],
])('a link survives %s', (_, wrapped) => {
  for (const [one, kind] of [
    [link, 'notebook'],
    [plan, 'plan'],
  ] as const) {
    const read = readArrivalText(wrapped(one));
    expect(read.ok ? read.value.kind : read.sentence).toBe(kind);
  }
});

test('a link with a letter changed or its end cut off is called damaged', () => {
  for (const bad of [link.slice(0, -9), `${link.slice(0, -30)}A${link.slice(-29)}`]) {
    const read = readLink(bad);
    expect(read.ok ? 'read' : read.sentence).toMatch(/damaged/);
  }
});

test('a hand-out carries marks, cylinder, conditions, groups and questions, by link and by file', () => {
  const byLink = readLink(plan);
  expect(byLink.ok && byLink.value).toEqual({ kind: 'plan', handOut });
  const byFile = handOutFromRaw(JSON.parse(handOutToJson(handOut)));
  expect(byFile.ok && byFile.value).toEqual(handOut);
});
