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
  'help',
] as const;
export type Screen = (typeof screens)[number];

export interface Route {
  readonly screen: Screen;
  /** What follows the screen's name: `#/readings/CALL` gives ['CALL']; payloads of links use it too. */
  readonly rest: readonly string[];
}

export function routeOf(hash: string): Route {
  const [name = '', ...rest] = hash.replace(/^#\/?/, '').split('/');
  const screen = screens.find((known) => known === name) ?? 'start';
  return { screen, rest };
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
