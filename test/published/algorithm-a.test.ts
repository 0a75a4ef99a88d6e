import { expect, test } from 'vitest';
import { classResult } from '../../src/class/class-result.ts';
import { entriesOfTable } from '../../src/class/class-table.ts';
import { algorithmA, algorithmAStart, algorithmAStep } from '../../src/numerics/algorithm-a.ts';
import { the } from '../the.ts';

// ISO 5725-5:1998, creosote example (data in the R package metRology, algA); iterations recomputed, the fourth
// as in the text of the standard.
const values = [24.14, 20.155, 19.5, 20.3, 20.705, 17.57, 20.1, 20.94, 21.185];

test('Algorithm A: start, first rounds and end', () => {
  const rounds = [
    [20.3, 0.94912],
    [20.38722, 0.9856],
    [20.4066, 1.00968],
    [20.41091, 1.02668],
    [20.41187, 1.0388],
    [20.41208, 1.04748],
  ] as const;
  let state = algorithmAStart(values);
  for (const [mean, standardDeviation] of rounds) {
    expect(state.mean).toBeCloseTo(mean, 5);
    expect(state.standardDeviation).toBeCloseTo(standardDeviation, 5);
    state = algorithmAStep(values, state.mean, state.standardDeviation);
  }
  const end = algorithmA(values);
  expect(end.mean).toBeCloseTo(20.412142857142857, 12);
  expect(end.standardDeviation).toBeCloseTo(1.0698397029556663, 10);
  // As nine groups of a class; 1.25 s*/root n for the uncertainty.
  const read = entriesOfTable(`name,value,u\n${values.map((value, i) => `group ${i + 1},${value},1`).join('\n')}\n`);
  if (!read.ok) throw new Error(read.sentence);
  const { robust } = classResult(read.value, 'value');
  expect(the(robust).mean).toBeCloseTo(20.412142857142857, 12);
  expect(the(robust).u).toBeCloseTo((1.25 * 1.0698397029556663) / 3, 10);
});
