import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';

test('an analysis can be sent from its worker to the page', () => {
  const analysis = analysisOf(reduce(demoNotebook(1.7e12).events));
  expect(structuredClone(analysis)).toEqual(analysis);
});
