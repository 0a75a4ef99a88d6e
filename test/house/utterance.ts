import { Session } from 'node:inspector/promises';
import { pathToFileURL } from 'node:url';
import type { makeRoom } from '../bench/room.ts';

/**
 * The files of `src` of which a function runs while one number that is called becomes an entry on the disk with its cue:
 * hearing's own parts, pairing, session, meaning, log and answer are the real ones, see `test/bench/room.ts`; microphone
 * and net are not. What the engine counts, not what imports say.
 *
 * @param root of the checkout, with slashes at neither end
 */
export async function filesOfOneUtterance(root: string): Promise<string[]> {
  const src = `${pathToFileURL(root)}/src/`;
  const { makeRoom: make }: { makeRoom: typeof makeRoom } = await import(`${pathToFileURL(root)}/test/bench/room.ts`);
  const room = await make({ ears: { browser: 'off', own: true } });
  const call = async (id: string, text: string): Promise<void> => {
    room.ownEar.set(id, { best: [{ text, p: 0.95 }], delayMs: 200 });
    room.sound(id);
    await room.pass(6000);
  };
  await call('start', 'start run one');
  await call('first', 'twelve');
  const engine = new Session();
  engine.connect();
  await engine.post('Profiler.enable');
  await engine.post('Profiler.startPreciseCoverage', { callCount: true, detailed: false });
  await call('second', 'fourteen');
  const { result } = await engine.post('Profiler.takePreciseCoverage');
  engine.disconnect();
  const written = room.state().runs[0]?.readings.map(({ value }) => value);
  if (written?.join() !== '12,14') throw new Error(`the calls became ${written}`);
  return result
    .filter(({ url, functions }) => url.startsWith(src) && functions.some(({ ranges }) => ranges[0]?.count))
    .map(({ url }) => url.slice(src.length))
    .sort();
}
