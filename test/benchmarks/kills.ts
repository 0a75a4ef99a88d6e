import { fileURLToPath } from 'node:url';
import { killKinds, killWrites } from '../browser/kill-writes.ts';
import { withBuiltApp } from './built.ts';
import { flag, inPieces, numberFlag } from './pieces.ts';

/**
 * `npm run bench -- kills --kills=200 --seed=1`: that many kills in each of a spoken run, import, deletion, second copy,
 * restore and migration, and closings just after a press; `--only=voice` for one of them. `--windows=6`: so many windows
 * die at each kill of the browser. In pieces: see `pieces.ts`; one seed is a browser that is killed twice.
 */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const kills = process.argv.includes('--quick') ? 4 : numberFlag('kills', 100);
  const windows = numberFlag('windows', 4);
  const each = Math.min(kills, 2 * windows);
  await withBuiltApp(async (dist) => {
    for (const kind of killKinds.filter((one) => one === (flag('only') ?? one)))
      await inPieces(`kills in ${kind}`, Math.ceil(kills / each), async (seed) => {
        const tally = await killWrites(dist, kind, each, { seed, windows });
        const counts = {
          kills: tally.kills,
          'by killing the browser': tally.browsers,
          'pages closed': tally.closed,
          'before the act was done': tally.inTheMiddle,
          'readings acknowledged': tally.acknowledged,
        };
        return { counts, wrong: tally.wrong };
      });
  });
}
