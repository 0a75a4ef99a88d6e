import { createMemo, For, Show } from 'solid-js';
import type { Setup } from '../../log/setup.ts';
import { local } from '../texts.ts';
import { cutEdge, graduationsOf } from './cylinder-scale.ts';
import { type CylinderShape, surfaceBehind, surfaceOf, wallsOf } from './cylinder-shape.ts';

/** The water up to a reading. */
export function Water(props: { shape: CylinderShape; ml: number }) {
  return (
    <>
      <clipPath id="inside-glass">
        <rect x={props.shape.left()} y={0} width={props.shape.wide()} height={props.shape.bottom()} />
      </clipPath>
      {/* Light falls through a round glass: darker at the walls. */}
      <linearGradient id="water-shade">
        <stop class="shade-edge" offset="0" />
        <stop class="shade-light" offset="0.3" />
        <stop class="shade-light" offset="0.62" />
        <stop class="shade-deep" offset="0.86" />
        <stop class="shade-edge" offset="1" />
      </linearGradient>
      <g clip-path="url(#inside-glass)">
        <g
          class="water"
          classList={{ none: props.ml <= 0 }}
          style={{ transform: `translateY(${props.shape.y(props.ml)}px)` }}
        >
          <path
            class="water-body"
            fill="url(#water-shade)"
            d={`${surfaceOf(props.shape)}V4000H${props.shape.left()}Z`}
          />
          <path class="water-surface" d={surfaceOf(props.shape) + surfaceBehind(props.shape)} />
        </g>
      </g>
    </>
  );
}

/** The glass with its graduations; a numeral gives way to the next mark's. */
export function Glass(props: { shape: CylinderShape; setup: Setup; nextMl: number | null }) {
  const { left, right, wide, top, bottom, section, y, atFoot, atLip } = props.shape;
  const graduations = createMemo(() => graduationsOf(props.setup, section(), bottom() - top));
  const numerals = () =>
    graduations().filter(
      ({ rank, ml }) => rank === 'ten' && (props.nextMl === null || Math.abs(y(ml) - y(props.nextMl)) > 24),
    );
  return (
    <>
      <For each={graduations()}>
        {(graduation) => (
          <line
            class={`graduation ${graduation.rank}`}
            x1={left()}
            x2={left() + wide() * (graduation.rank === 'ten' ? 0.62 : graduation.rank === 'five' ? 0.45 : 0.28)}
            y1={y(graduation.ml)}
            y2={y(graduation.ml)}
          />
        )}
      </For>
      <path class="glass" d={wallsOf(props.shape)} />
      <Show when={atFoot()} fallback={<path class="glass-cut" d={cutEdge(left(), right(), bottom() + 6)} />}>
        <path
          class="glass-foot"
          d={`M${left()} ${bottom()}H${right()}L${right() + 16} ${bottom() + 16}H${left() - 16}Z`}
        />
      </Show>
      <Show when={!atLip()}>
        <path class="glass-cut" d={cutEdge(left(), right(), 8)} />
      </Show>
      <line class="glint" x1={right() - wide() * 0.14} x2={right() - wide() * 0.14} y1={20} y2={bottom() - 10} />
      <For each={numerals()}>
        {(graduation) => (
          <text class="numeral" x={left() - 10} y={y(graduation.ml)} dy="0.35em">
            {local(String(graduation.ml))}
          </text>
        )}
      </For>
    </>
  );
}
