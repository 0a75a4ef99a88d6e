import { For } from 'solid-js';

/** What is said before the first run of a notebook. Where it and a label differ, the label wins. */
export function Cautions(props: { sentences?: readonly string[] }) {
  return (
    <section class="caution" aria-label="Before the first run">
      <h2>Before you mix</h2>
      <ul>
        <For each={props.sentences ?? usual}>{(sentence) => <li>{sentence}</li>}</For>
        <li>The label of each reagent, the rules of your place and a qualified supervisor come before this page.</li>
      </ul>
    </section>
  );
}

/** The usual ones, while no run sheet says what is mixed. */
const usual: readonly string[] = [
  'Goggles on, and gloves: peroxide burns skin and eyes, acid too; iodine stains skin, cloth and benches.',
  'Never close a vessel that makes gas. The outlet stays free, the tube open, the stopper snug, not wedged.',
  'Ease glass tubes through stoppers wet and wrapped in a cloth. Wipe up spills at once.',
];
