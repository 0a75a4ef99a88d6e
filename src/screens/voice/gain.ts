import type { LearntVoice } from '../../hearing/ear/adapt.ts';

/** The gain on calls held back from the learning, whatever it is, in plain words. */
export function gainSentence({ before, after }: Pick<LearntVoice, 'before' | 'after'>): string {
  const words = `Of ${before.of} words held back, ${before.right} were right before and ${after.right} after`;
  if (before.right !== after.right) return `${words}.`;
  return `${words}; the right words were given a probability of ${percent(before.p)} before and ${percent(after.p)} after.`;
}

const percent = (p: number): string => `${Math.round(100 * p)} %`;

/** What follows from the gain. */
export function useSentence({ helps }: Pick<LearntVoice, 'helps'>, wanted: boolean): string {
  if (!helps) return 'That is no gain, so it stays off: the recogniser hears you as it hears everybody.';
  return wanted ? 'The recogniser in this page hears with it.' : 'It is switched off.';
}
