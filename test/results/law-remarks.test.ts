import { expect, test } from 'vitest';
import type { ExperimentAnalysis } from '../../src/analysis/analyse-experiment.ts';
import type { LawRow } from '../../src/analysis/law-row.ts';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { rateLaw } from '../../src/analysis/rate-law.ts';
import { reduce } from '../../src/log/reduce.ts';
import { lawRemarks, nothingLeftOver } from '../../src/results/law-remarks.ts';
import { reportOf } from '../../src/results/report.ts';
import { groupNotebook } from '../class/class-notebooks.ts';

const rowsOf = (runs: readonly [rate: number, a: number, b?: number][], uRelative = 0.01): LawRow[] =>
  runs.map(([rate, a, b], i) => ({
    label: String(i + 1),
    rate,
    uRate: rate * uRelative,
    dfRate: 8,
    concentrations: {
      H2O2: { value: a, u: 0, uCommonRelative: 0 },
      ...(b === undefined ? {} : { 'I-': { value: b, u: 0, uCommonRelative: 0 } }),
    },
  }));

const noWhole = { ok: false, sentence: '' };

function remarksOf(rows: readonly LawRow[], whole: object = noWhole): { text: string; exact: boolean } {
  const law = rateLaw(rows);
  if (!law.ok) throw new Error(law.sentence);
  return { text: lawRemarks({ law, whole } as ExperimentAnalysis).join(' '), exact: nothingLeftOver(law) };
}

test('as many runs as unknowns leave nothing over to check the law, and it is said', () => {
  const two = remarksOf(
    rowsOf([
      [1, 0.1],
      [2.05, 0.2],
    ]),
  );
  expect(two.exact).toBe(true);
  expect(two.text).toMatch(/^2 runs for one order and k: nothing is left over/);
  const three = remarksOf(
    rowsOf([
      [1, 0.1, 0.1],
      [2, 0.2, 0.1],
      [2, 0.1, 0.2],
    ]),
  );
  expect(three.text).toMatch(/^3 runs for 2 orders and k: nothing is left over/);
});

test('an order that all readings at once speak against is said', () => {
  const rows = rowsOf([
    [1, 0.1],
    [2, 0.2],
    [4, 0.4],
  ]);
  const wholeWith = (low95: number, high95: number) => ({
    ok: true,
    orders: { H2O2: { value: (low95 + high95) / 2, u: (high95 - low95) / 4, low95, high95 } },
  });
  expect(remarksOf(rows, wholeWith(0.9, 1.3)).text).toBe('');
  expect(remarksOf(rows, wholeWith(1.2, 1.6)).text).toMatch(
    /^The two ways do not agree on the order in H₂O₂: all readings at once give 1\.40 ± 0\.10, and 1, accepted/,
  );
  expect(remarksOf(rows, wholeWith(0.5, 0.9)).text).toMatch(/do not agree/);
});

test('a run to spare is a check, and nothing is remarked', () => {
  const four = remarksOf(
    rowsOf([
      [1, 0.1, 0.1],
      [2, 0.2, 0.1],
      [2, 0.1, 0.2],
      [1.01, 0.1, 0.1],
    ]),
  );
  expect(four).toEqual({ text: '', exact: false });
  // Iodide is the same in all: one order, three runs.
  const same = remarksOf(
    rowsOf([
      [1, 0.1, 0.1],
      [2, 0.2, 0.1],
      [4, 0.4, 0.1],
    ]),
  );
  expect(same).toEqual({ text: '', exact: false });
});

test('an order that nobody should believe is named with its likely cause', () => {
  const small = remarksOf(
    rowsOf([
      [1, 0.1],
      [0.66, 0.105],
    ]),
  );
  expect(small.text).toMatch(/An order of −8\.5 in H₂O₂ is not to be believed: .*factor of only 1\.05/);
  const wrong = remarksOf(
    rowsOf([
      [1, 0.1],
      [40, 0.2],
    ]),
  );
  expect(wrong.text).toMatch(/An order of 5\.3 in H₂O₂ is not to be believed: .*Likely a rate is off/);
});

test('an order that is hardly known is said to be so', () => {
  expect(
    remarksOf(
      rowsOf(
        [
          [1, 0.1],
          [1.1, 0.11],
        ],
        0.1,
      ),
    ).text,
  ).toMatch(/The order in H₂O₂ is hardly known: 1\.0 ± 1\.5\. .*factor of only 1\.10/);
  expect(
    remarksOf(
      rowsOf(
        [
          [1, 0.1],
          [2, 0.2],
        ],
        0.6,
      ),
    ).text,
  ).toMatch(/too uncertain to tell it: more readings/);
});

test('orders that are none leave the law without a k, and the report says why and claims none', () => {
  const notebook = groupNotebook(4, { factorInRun2: 1.16 });
  const state = reduce(notebook.events);
  const found = analysisOf(state);
  const notes = reportOf(notebook, state, found, 'mL/s').law.notes.join('\n');
  expect(notes).toMatch(/^The order in I⁻ is no whole or half number within its uncertainty, so no k is stated/);
  expect(notes).not.toMatch(/k belongs to|rate constant is for|same k/);
});
