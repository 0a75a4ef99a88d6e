import { createSignal } from 'solid-js';

/** What the ear at work knows of the voice: nothing; it hears with it; it was learnt with weights now gone. */
export type VoiceInUse =
  | { readonly kind: 'none' }
  | { readonly kind: 'outdated' }
  | { readonly kind: 'used' /** '' where they did not say. */; readonly name: string };

/** What the Bench says of its one ear. Apart from the voices themselves, so that the Bench need not wait for their store. */
export const [inUse, setInUse] = createSignal<VoiceInUse>({ kind: 'none' });
