import { createRoot, createSignal } from 'solid-js';
import type { FollowingEar } from '../../hearing/ear.ts';
import {
  changeCaller,
  deleteVoice,
  type KeptCall,
  type KeptVoice,
  keepVoice,
  loadOthers,
  loadSounds,
  loadVoice,
} from '../../hearing/voice-store.ts';
import { setInUse } from './in-use.ts';

/**
 * The voices of this device, and the ears that hear with the caller's. One value for all screens, because their store is
 * one and every ear follows its changes.
 */
const device = createRoot(() => {
  const [voice, setVoice] = createSignal<KeptVoice | null>(null);
  const [others, setOthers] = createSignal<readonly KeptVoice[]>([]);
  const [turn, setTurn] = createSignal(0);
  const ears = new Set<() => Promise<void>>();
  let kept: Promise<readonly KeptCall[]> | null = null;

  const loaded = Promise.all([loadVoice(), loadOthers()])
    .then(([mine, theirs]) => {
      setVoice(mine);
      setOthers(theirs);
    })
    // A browser that keeps nothing for the page knows no voice; the desk says that nothing is kept.
    .catch(() => null);

  const show = async (next: KeptVoice | null): Promise<void> => {
    setVoice(next);
    for (const hearAnew of [...ears]) await hearAnew();
  };

  /** @throws what the browser throws when it does not keep it */
  const keep = async (next: KeptVoice, sounds?: readonly KeptCall[]): Promise<void> => {
    await loaded;
    await keepVoice(next, sounds);
    if (sounds) kept = Promise.resolve(sounds);
    await show(next);
  };

  const keptSounds = (): Promise<readonly KeptCall[]> => {
    kept ??= loadSounds().catch((error) => {
      kept = null;
      throw error;
    });
    return kept;
  };

  const callAs = async (to: number | null): Promise<void> => {
    await loaded;
    const next = await changeCaller(to);
    kept = null;
    setOthers(next.others);
    setTurn(turn() + 1);
    await show(next.voice);
  };

  const forget = async (): Promise<void> => {
    await deleteVoice();
    kept = null;
    setTurn(turn() + 1);
    await show(null);
  };

  /** The ear of this page, hearing with the voice that is kept, as it is at any time. */
  const earWithVoice = async (): Promise<FollowingEar> => {
    const { makeOwnEar } = await import('../../hearing/ear/own-ear.ts');
    const ear = makeOwnEar();
    const hearAnew = async (): Promise<void> => {
      const kept = voice();
      const learnt = kept?.wanted ? kept.learnt : null;
      try {
        const used = await ear.useVoice(learnt);
        if (used && kept) setInUse({ kind: 'used', name: kept.name });
        else if (kept && learnt?.helps) {
          // Learnt with other weights: it means nothing to these. Its sounds stay, to learn it again.
          const dropped = { ...kept, learnt: null };
          setVoice(dropped);
          setInUse({ kind: 'outdated' });
          await keepVoice(dropped);
        } else setInUse({ kind: kept && kept.learnt === null ? 'outdated' : 'none' });
      } catch (error) {
        // Without the voice it hears as it ships.
        console.error('voice not used', error);
        setInUse({ kind: 'none' });
      }
    };
    return {
      name: ear.name,
      async load(progress) {
        await ear.load(progress);
        await loaded;
        await hearAnew();
        ears.add(hearAnew);
      },
      follow: (sound) => ear.follow(sound),
      dispose() {
        ears.delete(hearAnew);
        if (ears.size === 0) setInUse({ kind: 'none' });
        ear.dispose();
      },
    };
  };

  return { voice, others, turn, loaded, keptSounds, keep, callAs, forget, earWithVoice };
});

/**
 * `others`: voices of other people who call on this device. `callAs(index of others)`: that person calls from now on;
 * null: somebody new. `keptSounds`: what the voice was learnt from, read once: to read them after each run would leave some
 * 4 MB a run for the collector. `turn` changes with it, so that nobody's calls are learnt for somebody else.
 */
export const { voice, others, turn, loaded, keptSounds, keep, callAs, forget, earWithVoice } = device;
