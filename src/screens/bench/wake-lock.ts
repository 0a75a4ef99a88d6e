/**
 * Keeps the screen on while something goes on at the bench. The browser drops the lock whenever the page is hidden,
 * so it is asked for again when the page comes back. Where there is no wake lock the screen may go dark; Help says
 * so. Returns the way to let the screen sleep again.
 */
export function keepAwake(): () => void {
  let lock: WakeLockSentinel | null = null;
  let wanted = true;
  const ask = async (): Promise<void> => {
    if (!wanted || document.visibilityState !== 'visible' || !('wakeLock' in navigator)) return;
    try {
      const given = await navigator.wakeLock.request('screen');
      if (wanted) lock = given;
      else await given.release();
    } catch {
      // Refused (battery saver, for one): the screen then follows the system's own setting.
    }
  };
  const onVisible = (): void => void ask();
  document.addEventListener('visibilitychange', onVisible);
  void ask();
  return () => {
    wanted = false;
    document.removeEventListener('visibilitychange', onVisible);
    void lock?.release();
    lock = null;
  };
}
