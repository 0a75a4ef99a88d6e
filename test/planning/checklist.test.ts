import { expect, test } from 'vitest';
import { de } from '../../src/language/words/de.ts';
import type { Plan } from '../../src/log/plan.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { asSpoken, checklistOf, deferral, stepsAloud } from '../../src/planning/checklist.ts';
import { checklistReactionOf } from '../../src/planning/checklist-reaction.ts';
import { the } from '../the.ts';

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' } },
    { id: 'i', name: 'strong iodide', species: 'I-', strength: { value: 0.5, unit: 'mol/L' } },
  ],
  dilutions: [{ id: 'h', name: 'half iodide', from: 'i', takeMl: 50, makeUpToMl: 100 }],
  runs: [
    {
      label: '1',
      pours: [
        { solution: 'water', volumeMl: 15 },
        { solution: 'i', volumeMl: 10 },
        { solution: 'p', volumeMl: 5 },
      ],
    },
    {
      label: '2',
      temperatureC: 35,
      pours: [
        { solution: 'water', volumeMl: 15 },
        { solution: 'h', volumeMl: 10 },
        { solution: 'p', volumeMl: 5 },
      ],
    },
  ],
};
const reaction = {
  gas: 'oxygen',
  always: [],
  pouring: ['Peroxide hurts eyes.'],
  running: ['No flames nearby.'],
  cleaning: ['Leave peroxide open.'],
};
const steps = stepsAloud(plan, defaultSetup, reaction);
const all = checklistOf(plan, defaultSetup, reaction)
  .flatMap((section) => section.steps)
  .map((step) => `${step.text} ${step.caution ?? ''}`)
  .join('\n');

test('every delicate point of the day is on the sheet', () => {
  for (const point of [
    /Goggles on, and gloves/,
    /Call each: .* Peroxide hurts eyes/,
    /swirl\. No flames nearby/,
    /nothing back into a bottle\. Leave peroxide open/,
    /sucked back/,
    /Flasks: 1, 2\./,
    /never swapped: peroxide, strong iodide, half iodide, water/,
    /beaker for waste/,
    /half iodide: take 50 mL of strong iodide, make up to 100 mL with water/,
    /Wet both, gloves on/,
    /stays inside when you let go/,
    /outlet is free/,
    /Never close a vessel that makes oxygen/,
    /snug/,
    /“baseline”/,
    /Rinse the flask twice/,
    /need not be dry/,
    /Pour back some water/,
    /empty the flask into the waste/,
    /Swirl until gas flows, wait for a steady flow, then call the first reading/,
    /nothing back into a bottle/,
  ])
    expect(all).toMatch(point);
  expect(all).toContain(deferral);
});

test('read aloud, the steps of a run come once for each run with its own volumes and temperature', () => {
  const first = steps.filter((step) => step.section === 'Run 1').map((step) => step.say);
  const second = steps.filter((step) => step.section === 'Run 2').map((step) => step.say);
  expect(first[0]).toMatch(/^Pour for run 1: water 15, strong iodide 10 and peroxide 5\./);
  expect(second[0]).toMatch(/water 15, half iodide 10 and peroxide 5/);
  expect(second[1]).toMatch(/Bring flask and solutions to 35 degrees Celsius/);
  expect(steps.filter((step) => step.section.startsWith('Changeover'))).toHaveLength(3);
  expect(steps.at(-1)?.section).toBe('Clean up');
});

test('what can hurt is read before the first run and not before every one', () => {
  const heard = (run: string) => steps.filter((step) => step.run === run && /hurts eyes|No flames/.test(step.say));
  expect(heard('1')).toHaveLength(2);
  expect(heard('2')).toHaveLength(0);
});

test('the cautions of a plan follow from what is in its bottles', () => {
  const { gas, pouring, running, cleaning } = checklistReactionOf(plan);
  expect(gas).toBe('oxygen');
  expect(pouring.join(' ')).toMatch(/iodine, which stains/);
  expect(running.join(' ')).toMatch(/no flames/);
  expect(cleaning.join(' ')).toMatch(/burst the bottle/);
  expect(pouring.join(' ')).not.toMatch(/goggles/);
  const strong = { ...plan, stocks: [{ ...the(plan.stocks[0]), strength: { value: 9, unit: '%w/v' as const } }] };
  expect(checklistReactionOf(strong).pouring.join(' ')).toMatch(/damage eyes for good/);
});

test('units are words where they are spoken', () => {
  expect(asSpoken('take 1 mL at 25 °C of 3 %, then 2.5 mL')).toBe(
    'take 1 millilitre at 25 degrees Celsius of 3 per cent, then 2.5 millilitres',
  );
});

test('in German every step is German, with the German words to call; no sentence is missing', () => {
  const aloud = stepsAloud(plan, defaultSetup, checklistReactionOf(plan, 'de-DE'), 'de-DE');
  expect(aloud).toHaveLength(steps.length);
  const english =
    /\b(the|and|with|into|call|pour|water tube|run|flask|open|rinse|bottle|stopper|gas flows|millilitres?|degrees|oxygen)\b/i;
  for (const step of aloud) expect(`${step.section}. ${step.say}`).not.toMatch(english);
  const all = aloud.map((step) => step.say).join('\n');
  expect(all).toMatch(/Iod, das Haut und Stoff färbt.*keine Flammen in der Nähe.*die Flasche sprengen/s);
  expect(all).toContain('Milliliter');
  expect(all).toContain('Sauerstoff');
  expect(all).not.toMatch(/\{\w+\}/);
  for (const name of ['start-run', 'end-run', 'baseline', 'temperature', 'poured'] as const)
    expect(all.toLowerCase()).toContain(the(de.commands[name].said[0]));
});
