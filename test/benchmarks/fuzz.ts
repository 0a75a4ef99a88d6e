import { fileURLToPath } from 'node:url';
import { z } from 'zod/mini';
import { fuzz } from '../files/fuzz.ts';

/** `npm run bench -- fuzz --cases=1000000 --seed=7`: damaged things at the door; what was accepted wrongly, time, memory. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  z.config({ jitless: true });
  const number = (name: string, otherwise: number): number =>
    Number(process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3) ?? otherwise);
  const cases = process.argv.includes('--quick') ? 5000 : number('cases', 100_000);
  const seed = number('seed', 1);
  const begun = performance.now();
  const tally = fuzz(cases, seed, 50, ({ cases: done, accepted, wrong, peakBytes }) => {
    if (done % 50_000 === 0)
      console.error(
        `  ${done} of ${cases}: ${accepted} accepted, peak ${(peakBytes / 1e6).toFixed(0)} MB`,
        wrong.slice(0, 20),
      );
  });
  console.log(
    `  ${tally.cases} damaged files, links, archives, run sheets, tables and code parts, seed ${seed}: ${tally.refused} refused with a sentence, ${tally.accepted} accepted, ${tally.wrong.length} wrong`,
  );
  console.log(
    `  slowest ${tally.slowestMs.toFixed(0)} ms (${tally.slowest}); peak memory of the process ${(tally.peakBytes / 1e6).toFixed(0)} MB; ${((performance.now() - begun) / 1000).toFixed(0)} s in all`,
  );
  for (const wrong of tally.wrong.slice(0, 20)) console.log(`  WRONG ${wrong}`);
}
