/**
 * The colours of the theme as a canvas takes them. A variable of the style sheet may hold `light-dark()`, which only a
 * property of type colour resolves: a hidden element carries it there.
 *
 * @returns from the name of a variable, its colour as it is now
 */
export function makeColours(frame: HTMLElement): (name: string) => string {
  const probe = document.createElement('span');
  probe.hidden = true;
  frame.append(probe);
  const style = getComputedStyle(probe);
  return (name) => {
    probe.style.color = `var(${name})`;
    return style.color;
  };
}

/** Calls back when light and dark change places: by the system, or by the choice of this device. */
export function watchTheme(onChange: () => void): () => void {
  const system = matchMedia('(prefers-color-scheme: dark)');
  system.addEventListener('change', onChange);
  const chosen = new MutationObserver(onChange);
  chosen.observe(document.documentElement, { attributeFilter: ['data-theme'] });
  return () => {
    system.removeEventListener('change', onChange);
    chosen.disconnect();
  };
}
