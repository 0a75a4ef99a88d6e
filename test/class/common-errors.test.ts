import { expect, test } from 'vitest';
import { entryOf } from '../../src/class/class-entry.ts';
import { classResult } from '../../src/class/class-result.ts';
import { methodSentences } from '../../src/class/class-texts.ts';
import type { EventBody } from '../../src/log/event.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import type { Notebook } from '../../src/log/state.ts';
import { seeded } from '../files/mutations.ts';
import { created, reading, stamped, startRun } from '../log/events.ts';
import { groupNotebook } from './class-notebooks.ts';

/** Moist carbon dioxide from 1 mL of acid of 1 mol/L, at 20 °C and 1013.25 hPa. mL */
const moistMl = 12.32;
/** Gas made over gas collected. */
const made = 1.05;
/** 1/s, of the invented runs. */
const truth = 1 / 600;

interface Odd {
  readonly acid?: number;
}

/** Three runs of marble in acid, first order in the acid, its gas led through fresh water. Figures are invented. */
function marbleNotebook(group: number, { acid = 1 }: Odd): Notebook {
  const random = seeded(100 + group);
  const events: EventBody[] = [created];
  const acids = [10, 15, 20];
  events.push({
    kind: 'set-up',
    setup: {
      ...defaultSetup,
      cylinder: { ...defaultSetup.cylinder, capacityMl: 250, divisionMl: 1 },
      spanMl: 60,
      temperatureC: 20,
      uTemperatureC: 0.2,
      pressure: { kind: 'station', hPa: 1013.25 },
      dissolving: { water: 'fresh', waterMl: 250 },
    },
  });
  events.push({
    kind: 'planned',
    plan: {
      reaction: 'carbonate-acid',
      stocks: [{ id: 'acid', name: 'acid', species: 'HCl', strength: { value: acid, unit: 'mol/L', uRelative: 0.01 } }],
      dilutions: [],
      runs: acids.map((ml, i) => ({
        label: String(i + 1),
        pours: [
          { solution: 'water', volumeMl: 50 - ml },
          { solution: 'acid', volumeMl: ml },
        ],
        solids: [{ species: 'CaCO3', massG: 3, uMassG: 0.02 }],
      })),
    },
  });
  acids.forEach((ml, i) => {
    const run = `r${i}`;
    const mixedS = 1000 + 2000 * i;
    events.push(startRun(run, String(i + 1)), { kind: 'baseline', value: '0', timeMs: mixedS * 1000, run });
    for (let volume = 5; volume <= 60; volume += 5) {
      const atS = (-1 / (2 * truth)) * Math.log1p((-volume * made) / (moistMl * ml * acid)) + 0.2 * (random() - 0.5);
      if (Number.isFinite(atS))
        events.push(...reading(`c${i}-${volume}`, Number((mixedS + atS).toFixed(3)), String(volume), run));
    }
    events.push({ kind: 'run-ended', run, timeMs: (mixedS + 1500) * 1000 });
  });
  return { id: `g${group}`, events: stamped(...events).map((event) => ({ ...event, id: `g${group}-${event.id}` })) };
}

const groups = (count: number, odd: (group: number) => Odd = () => ({})) =>
  Array.from({ length: count }, (_, g) => entryOf(marbleNotebook(g, odd(g))));

test('what nobody knows of the gas in the water is not averaged away, whatever bottles the groups have', () => {
  for (const entries of [groups(8), groups(8, (g) => ({ acid: g < 4 ? 1 : 1.05 }))]) {
    const result = classResult(entries, 'k');
    const { value, rows } = result;
    expect(rows).toHaveLength(8);
    const [one] = rows;
    const ofOne = one!.quantity.uReaction! / one!.quantity.value;
    expect(ofOne).toBeGreaterThan(0.1);
    expect(value!.uReaction / value!.value).toBeCloseTo(ofOne, 1);
    expect(value!.u).toBeGreaterThan(value!.uReaction);
    expect(methodSentences(result, 'en').join(' ')).toMatch(/lose gas to the water alike: .* added once/);
    expect(methodSentences(result, 'de').join(' ')).toMatch(/im Wasser gelöst: .* mittelt sich nicht heraus/);
  }
});

test('a group without such gas has no such part', () => {
  expect(entryOf(groupNotebook(1)).quantities.k?.uReaction).toBe(0);
});
