import { fileURLToPath } from 'node:url';
import { z } from 'zod/mini';
import { fuzz } from '../files/fuzz.ts';
import { inPieces, numberFlag } from './pieces.ts';

/** Cases of one seed. */
const each = 10_000;

/**
 * `npm run bench -- fuzz --cases=1000000 --seed=7`: damaged files, links, archives, run sheets, tables and code parts at
 * the door; what was accepted wrongly, time, memory. 10,000 a seed; in pieces: see `pieces.ts`.
 */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  z.config({ jitless: true });
  const cases = process.argv.includes('--quick') ? 5000 : numberFlag('cases', 100_000);
  await inPieces('fuzz', Math.ceil(cases / each), async (seed) => {
    const tally = fuzz(Math.min(cases, each), seed);
    console.error(`  seed ${seed}: slowest ${tally.slowestMs.toFixed(0)} ms, ${tally.slowest}`);
    return {
      counts: {
        cases: tally.cases,
        'refused with a sentence': tally.refused,
        accepted: tally.accepted,
        'largest time of a case, ms': Math.round(tally.slowestMs),
        'largest memory of the process, MB': Math.round(tally.peakBytes / 1e6),
      },
      wrong: tally.wrong.slice(0, 20),
    };
  });
}
