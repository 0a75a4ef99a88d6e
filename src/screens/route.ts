import { type Accessor, createSignal, onCleanup } from 'solid-js';

/** The screens, in the order of the day. The address's fragment names the one that is shown: `#/bench`. */
export const screens = [
  'start',
  'run-sheet',
  'bench',
  'readings',
  'rates',
  'report',
  'class',
  'open',
  'rehearsal',
  'voice',
  'help',
] as const;
export type Screen = (typeof screens)[number];

export interface Route {
  readonly screen: Screen;
  /** What follows the screen's name: `#/readings/CALL` gives ['CALL']; payloads of links use it too. */
  readonly rest: readonly string[];
  /** The address names no screen; the first one is shown in its place. */
  readonly unknown: boolean;
}

export function routeOf(hash: string): Route {
  // Mail and chat programs escape the slashes of a link.
  const plain = /^#?(?:\/|%2f)?open%2f/i.test(hash) ? hash.replace(/%2f/gi, '/') : hash;
  const [name = '', ...rest] = plain.replace(/^#\/?/, '').split('/');
  const screen = screens.find((known) => known === name);
  return { screen: screen ?? 'start', rest, unknown: screen === undefined && name !== '' };
}

/** A part of an address as it was before it was escaped; a garbled escape stays as it is. */
export function unescaped(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

export const hrefOf = (screen: Screen, ...rest: string[]): string => `#/${[screen, ...rest].join('/')}`;

export function createRoute(): Accessor<Route> {
  const [route, setRoute] = createSignal(routeOf(location.hash));
  const update = (): void => {
    // The skip link moves within the screen, not to another one.
    if (location.hash === '#main') return;
    setRoute(routeOf(location.hash));
  };
  addEventListener('hashchange', update);
  onCleanup(() => removeEventListener('hashchange', update));
  return route;
}
