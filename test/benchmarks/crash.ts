import { fileURLToPath } from 'node:url';
import { serve } from '../../src/commands/serve.ts';
import { killCycles } from '../browser/killable-browser.ts';
import { withBuiltApp } from './built.ts';
import { numberFlag } from './pieces.ts';

/** Kill and reopen, 1,000 times (`--kills=N` for another number, `--quick` for 40): acknowledged readings lost. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const cycles = numberFlag('kills', process.argv.includes('--quick') ? 40 : 1000);
  await withBuiltApp(async (dist) => {
    const served = await serve(dist, 0);
    try {
      const tally = await killCycles(served.address, cycles, (done) => {
        if (done % 50 === 0) console.error(`  ${done} of ${cycles}`);
      });
      console.log(
        `  ${tally.cycles} kills (3 of 4) and reloads (1 of 4): ${tally.acknowledged} acknowledged readings, ${tally.lost} lost, ${tally.invented} invented, ${tally.corrupted} corrupted; the browser lost its database ${tally.broughtBack} times and the second copy came in; ${tally.unawaitedKept} of ${tally.unawaited} marks under way at the kill were there; localStorage, the control, lost its last write ${tally.controlLost} times`,
      );
    } finally {
      await served.close();
    }
  });
}
