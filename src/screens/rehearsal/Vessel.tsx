import { For, onCleanup, onMount } from 'solid-js';
import type { Setup } from '../../log/setup.ts';
import { graduationsOf, type Section } from '../bench/cylinder-scale.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';
import './vessel.css';

const height = 520;
const width = 150;
const left = 52;
const right = 128;
const top = 14;
const bottom = height - 20;

/**
 * The simulated cylinder that the person of a rehearsal watches and calls from: water dripping in, drawn at every
 * frame of the screen. Nothing here tells the reading in digits; that is for the caller to read.
 */
export function Vessel(props: { setup: Setup; section: Section; level: () => number }) {
  const t = textsOf(texts);
  let water!: SVGRectElement;
  let surface!: SVGPathElement;
  const y = (ml: number): number =>
    bottom - ((ml - props.section.fromMl) / (props.section.toMl - props.section.fromMl)) * (bottom - top);
  const graduations = () => graduationsOf(props.setup, props.section, bottom - top);
  const numbered = () => {
    const all = graduations();
    const tens = all.filter((graduation) => graduation.rank === 'ten');
    return tens.length >= 3 ? tens : all.filter((graduation) => graduation.rank !== 'one');
  };

  onMount(() => {
    let frame = 0;
    const draw = (): void => {
      const at = Math.max(top, y(props.level()));
      water.setAttribute('y', String(at));
      water.setAttribute('height', String(Math.max(0, bottom - at)));
      surface.setAttribute('transform', `translate(0 ${at})`);
      frame = requestAnimationFrame(draw);
    };
    draw();
    onCleanup(() => cancelAnimationFrame(frame));
  });

  return (
    <figure class="vessel">
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={t().vessel}>
        <rect class="vessel-water" ref={water} x={left} width={right - left} y={bottom} height="0" />
        <path
          class="vessel-surface"
          ref={surface}
          d={`M${left} -5C${left + 8} 0 ${left + 14} 0 ${left + 20} 0H${right - 20}C${right - 14} 0 ${right - 8} 0 ${right} -5`}
        />
        <For each={graduations()}>
          {(graduation) => (
            <line
              class={`vessel-line ${graduation.rank}`}
              x1={left}
              x2={left + (graduation.rank === 'ten' ? 46 : graduation.rank === 'five' ? 34 : 20)}
              y1={y(graduation.ml)}
              y2={y(graduation.ml)}
            />
          )}
        </For>
        <For each={numbered()}>
          {(graduation) => (
            <text x={left - 8} y={y(graduation.ml)} dy="0.35em">
              {graduation.ml}
            </text>
          )}
        </For>
        <path class="vessel-glass" d={`M${left} 4V${bottom}H${right}V4`} />
      </svg>
      <figcaption>{t().simulated}</figcaption>
    </figure>
  );
}
