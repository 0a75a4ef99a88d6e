import { type Accessor, createMemo } from 'solid-js';
import type { Setup } from '../../log/setup.ts';
import { type Section, sectionOf } from './cylinder-scale.ts';

/** Where the drawn cylinder's parts lie, px; y counts downwards. */
export interface CylinderShape {
  /** There is room for large figures. */
  readonly big: Accessor<boolean>;
  /** Inner walls of the glass. */
  readonly left: Accessor<number>;
  readonly right: Accessor<number>;
  readonly wide: Accessor<number>;
  readonly top: number;
  readonly bottom: Accessor<number>;
  /** The part of the scale that is drawn, mL. */
  readonly section: Accessor<Section>;
  readonly y: (ml: number) => number;
  /** By how much the water climbs the walls. */
  readonly rise: Accessor<number>;
  /** The drawing reaches down to the foot, up to the lip. */
  readonly atFoot: Accessor<boolean>;
  readonly atLip: Accessor<boolean>;
}

/** @param times what hangs at the right of the glass: there must be room for the longest */
export function createCylinderShape(of: {
  readonly size: Accessor<{ readonly width: number; readonly height: number }>;
  readonly setup: Accessor<Setup>;
  readonly originMl: Accessor<number>;
  readonly lastMl: Accessor<number>;
  readonly times: Accessor<readonly string[]>;
}): CylinderShape {
  const section = createMemo(() => sectionOf(of.setup(), of.originMl(), of.lastMl()));
  const big = () => of.size().width >= 260;
  const left = () => (big() ? 84 : 42);
  const right = () => {
    const longest = Math.max(0, ...of.times().map((text) => text.length));
    return of.size().width - Math.max(big() ? 116 : 56, 14 + longest * (big() ? 12.5 : 9));
  };
  const wide = () => right() - left();
  const top = 26;
  const bottom = () => of.size().height - 26;
  const y = (ml: number): number =>
    bottom() - ((ml - section().fromMl) / (section().toMl - section().fromMl)) * (bottom() - top);
  return {
    big,
    left,
    right,
    wide,
    top,
    bottom,
    section,
    y,
    rise: () => Math.min(13, Math.max(4, wide() * 0.07)),
    atFoot: () => section().fromMl <= 0,
    atLip: () => section().toMl >= of.setup().cylinder.capacityMl,
  };
}

/** Edge of the water: it climbs the glass at the walls; the reading is taken at its lowest point. */
export function surfaceOf({ left, right, wide, rise }: CylinderShape): string {
  const [l, r, m] = [left(), right(), (left() + right()) / 2];
  return `M${l} ${-rise()}C${l + wide() * 0.1} ${-rise() * 0.25} ${m - wide() * 0.2} 0 ${m} 0S${r - wide() * 0.1} ${-rise() * 0.25} ${r} ${-rise()}`;
}

/** The same edge at the back of the glass, from right to left. */
export function surfaceBehind({ left, right, wide, rise }: CylinderShape): string {
  return `C${right() - wide() * 0.2} ${-rise() * 1.5} ${left() + wide() * 0.2} ${-rise() * 1.5} ${left()} ${-rise()}Z`;
}

/** The walls, with a lip where it is in the picture. */
export function wallsOf({ left, right, bottom, atLip }: CylinderShape): string {
  const leftWall = atLip() ? `M${left() - 7} 6Q${left()} 8 ${left()} 20V${bottom()}` : `M${left()} 2V${bottom()}`;
  return `${leftWall}M${right()} ${bottom()}V${atLip() ? 10 : 2}`;
}
