import { For, type JSX } from 'solid-js';
import { type ScriptPart, scriptParts } from '../../results/species.ts';

/** A text whose raised and lowered characters and arrow are set by markup: "I⁻", "10⁻⁴", "→" lack in many fonts. */
export function Marked(props: { text: string }): JSX.Element {
  return <For each={scriptParts(props.text)}>{(part) => <Part part={part} />}</For>;
}

function Part(props: { part: ScriptPart }): JSX.Element {
  if (props.part.level === 'sub') return <sub>{props.part.text}</sub>;
  if (props.part.level === 'sup') return <sup>{props.part.text}</sup>;
  return <For each={props.part.text.split(/(→)/)}>{(piece) => (piece === '→' ? <Arrow /> : piece)}</For>;
}

function Arrow() {
  return (
    <>
      <svg class="arrow" viewBox="0 0 24 12" aria-hidden="true">
        <path d="M1 6h20M16 1.5l5.5 4.5L16 10.5" fill="none" stroke="currentColor" stroke-width="1.6" />
      </svg>
      <span class="for-screen-readers">→</span>
    </>
  );
}
