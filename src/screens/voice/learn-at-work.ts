import { createEffect, onCleanup, untrack } from 'solid-js';
import { lessonsOf } from '../../bench/calls-to-learn.ts';
import { fewestCalls } from '../../bench/word-round.ts';
import { makeOwnEar } from '../../hearing/ear/own-ear.ts';
import { en } from '../../language/words/en.ts';
import type { Journal } from '../../log/journal.ts';
import type { Desk } from '../desk.tsx';
import { preferences } from '../preferences/device.ts';
import { keep, keptSounds, loaded, turn, voice } from './known-voice.ts';
import { freshCalls, learnCalls } from './learn-calls.ts';

/** From the last change after a run to the learning, ms: a correction that follows at once is learnt with the rest. */
const restMs = 4000;

/**
 * Learns the caller from the calls of each run that ends while the Bench is at work, and again when a value is put right
 * afterwards. It learns in a worker of its own, so hearing goes on meanwhile. Whatever goes wrong, the voice stays as it
 * was, and the next run tries again.
 */
export function learnAtWork(desk: Desk, journal: Journal): void {
  /** Runs that were open here, with whose turn it was when they were last open. */
  const runs = new Map<string, number>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  let busy: Promise<void> = Promise.resolve();
  let seen = '';

  const learn = async (): Promise<void> => {
    await loaded;
    if (!preferences().learnAtWork || !preferences().ownEar) return;
    const whose = turn();
    const lessons = lessonsOf(journal.state(), en).filter(({ run }) => run !== null && runs.get(run) === whose);
    const all = await keptSounds();
    // A call that was struck or taken back since teaches nothing any more.
    const theirs = new Set(
      journal
        .state()
        .calls.filter(({ run }) => run !== null && runs.get(run) === whose)
        .map(({ id }) => id),
    );
    const kept = all.filter(({ call }) => !theirs.has(call) || lessons.some((lesson) => lesson.call === call));
    const fresh = await freshCalls(lessons, kept, (call) => desk.store.getClip(journal.id, call));
    if (fresh.length === 0 && kept.length === all.length) return;
    if (kept.length + fresh.length < fewestCalls) return;
    const ear = makeOwnEar();
    try {
      await ear.load();
      const { voice: next, sounds } = await learnCalls(ear, voice(), kept, fresh, () => {});
      // Somebody else began to call, or forgot the voice, while it was learning.
      if (whose === turn()) await keep(next, sounds);
    } finally {
      ear.dispose();
    }
  };

  createEffect(() => {
    const state = desk.state();
    clearTimeout(timer);
    if (!state || desk.journal() !== journal) return;
    if (state.openRun) {
      runs.set(state.openRun, untrack(turn));
      return;
    }
    if (runs.size === 0) return;
    const now = lessonsOf(state, en)
      .filter(({ run }) => run !== null && runs.has(run))
      .map(({ call, text }) => `${call} ${text}`)
      .join('\n');
    if (now === seen) return;
    timer = setTimeout(() => {
      seen = now;
      busy = busy.then(learn).catch((error) => console.error('nothing learnt', error));
    }, restMs);
  });
  onCleanup(() => clearTimeout(timer));
}
