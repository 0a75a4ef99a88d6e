import type { Setup } from '../../log/setup.ts';
import { nth } from '../../numerics/nth.ts';

/** The part of the cylinder that is drawn, mL. */
export interface Section {
  readonly fromMl: number;
  readonly toMl: number;
}

/**
 * Which part of the cylinder to draw: all of it when the run fills most of it, else the stretch that the run needs,
 * so that each mark is far enough from the next to be told apart from two metres.
 *
 * @param originMl cylinder reading from which the run counts, mL
 * @param lastMl latest reading, mL
 */
export function sectionOf(setup: Setup, originMl: number, lastMl: number): Section {
  const { capacityMl, divisionMl } = setup.cylinder;
  const need = setup.spanMl + 3 * setup.stepMl;
  if (need >= 0.75 * capacityMl) return { fromMl: 0, toMl: capacityMl };
  // A run that goes on beyond its span pushes the section up.
  const top = Math.min(capacityMl, Math.max(originMl + setup.spanMl, lastMl + setup.stepMl) + 1.5 * setup.stepMl);
  const whole = (value: number): number => Math.round(value / divisionMl) * divisionMl;
  const fromMl = whole(Math.max(0, top - need));
  return { fromMl, toMl: Math.min(capacityMl, Math.max(whole(top), fromMl + need)) };
}

export interface Graduation {
  readonly ml: number;
  readonly rank: 'ten' | 'five' | 'one';
}

/** Graduations within a section: every division, thinned to fives or tens where they would run together. */
export function graduationsOf(setup: Setup, section: Section, heightPx: number): readonly Graduation[] {
  const { divisionMl } = setup.cylinder;
  const spacing = (heightPx * divisionMl) / (section.toMl - section.fromMl);
  const every = spacing >= 3 ? 1 : spacing * 5 >= 3 ? 5 : 10;
  const graduations: Graduation[] = [];
  const first = Math.ceil(section.fromMl / divisionMl - 1e-6);
  const last = Math.floor(section.toMl / divisionMl + 1e-6);
  for (let i = first; i <= last; i++) {
    if (i % every !== 0) continue;
    const rank = i % 10 === 0 ? 'ten' : i % 5 === 0 ? 'five' : 'one';
    graduations.push({ ml: Number((i * divisionMl).toPrecision(12)), rank });
  }
  return graduations;
}

/**
 * Which of the labels at `ys` (px) to show so that none overlaps: the last one always, then upwards of it in order,
 * each at least `gapPx` from the ones shown.
 */
export function shownLabels(ys: readonly number[], gapPx: number): readonly boolean[] {
  const shown = ys.map(() => false);
  const taken: number[] = [];
  for (let i = ys.length - 1; i >= 0; i--) {
    const y = nth(ys, i);
    if (taken.every((other) => Math.abs(other - y) >= gapPx)) {
      shown[i] = true;
      taken.push(y);
    }
  }
  return shown;
}

/** The glass is cut off here: a wavy edge, as in a technical drawing. */
export function cutEdge(left: number, right: number, y: number): string {
  const quarter = (right - left) / 4;
  return `M${left - 4} ${y}q${quarter / 2} -8 ${quarter} 0t${quarter} 0t${quarter} 0t${quarter + 8} 0`;
}

/** A sign, not colour alone, shows doubt and setting aside. */
export function hungText(time: string, reading: { outcome: string; setAside: unknown }): string {
  if (reading.setAside !== null) return `(${time})`;
  return reading.outcome === 'doubtful' ? `${time} ?` : time;
}
