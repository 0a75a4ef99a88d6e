/** The usual cautions, before the first run of a notebook. Where they and a label differ, the label wins. */
export function Cautions() {
  return (
    <section class="caution" aria-label="Before the first run">
      <h2>Before you mix</h2>
      <ul>
        <li>Goggles on, and gloves: peroxide burns skin and eyes, acid too; iodine stains skin, cloth and benches.</li>
        <li>
          Never close a vessel that makes gas. The outlet stays free, the tube open, the stopper snug, not wedged.
        </li>
        <li>Ease glass tubes through stoppers wet and wrapped in a cloth. Wipe up spills at once.</li>
        <li>The label of each reagent, the rules of your place and a qualified supervisor come before this page.</li>
      </ul>
    </section>
  );
}
