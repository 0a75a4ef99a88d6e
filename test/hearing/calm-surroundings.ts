import type { Platform } from '../../src/hearing/listening-devices.ts';

/** A browser in which nothing stands in the way: allowed, online, no other window. */
export const calmSurroundings = (hidden: () => boolean): Platform['surroundings'] => ({
  hidden,
  permission: () => 'granted',
  online: () => true,
  claim: () => Promise.resolve(() => undefined),
});
