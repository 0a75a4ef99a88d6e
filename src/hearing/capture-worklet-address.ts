// A file of its own origin, bundled: a strict content policy allows no other kind.
import address from './capture-worklet.ts?worker&url';

export const captureWorkletAddress: string = address;
