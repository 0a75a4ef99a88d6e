import type { Reading, Run } from '../../src/log/state.ts';

/** Readings one second apart, "?" after one in doubt, "!" after one in doubt that a person settled, "x" after a struck one. */
export function runOf(...values: readonly string[]): Run {
  const readings = values.map((text, index): Reading => {
    const value = text.replace(/[?!x]$/, '');
    return {
      id: `c${index}#0`,
      call: `c${index}`,
      run: 'r',
      timeMs: 1000 * index,
      uTimeMs: 15,
      timing: 'sound',
      value,
      volumeMl: Number(value),
      marked: false,
      outcome: /[?!]$/.test(text) ? 'doubtful' : 'taken',
      settled: text.endsWith('!'),
      rivals: [],
      struck: text.endsWith('x'),
      setAside: null,
      history: [],
    };
  });
  return { id: 'r', label: '1', startedMs: 0, endedMs: null, estimator: null, baseline: null, timed: [], readings };
}
