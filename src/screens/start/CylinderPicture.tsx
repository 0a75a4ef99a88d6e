import { For } from 'solid-js';

/** The idea in one picture: water drips in, each mark is called, its moment hangs at its graduation. Invented times. */
export function CylinderPicture() {
  return (
    <svg class="cylinder-picture" viewBox="0 0 300 360" aria-hidden="true">
      <path class="tube" d="M119 -4V20l3 12M133 -4V20l-3 12" />
      <path class="drop" d="M126 44q7 11 7 16a7 7 0 0 1-14 0q0-5 7-16Z" />
      <path class="drop" d="M126 92q6 10 6 14a6 6 0 0 1-12 0q0-4 6-14Z" />
      <path class="filled" d={`M80 ${y(12) - 8}Q84 ${y(12)} 126 ${y(12)}T172 ${y(12) - 8}V330H80Z`} />
      <path
        class="top"
        d={`M80 ${y(12) - 8}Q84 ${y(12)} 126 ${y(12)}T172 ${y(12) - 8}Q126 ${y(12) - 15} 80 ${y(12) - 8}Z`}
      />
      <For each={Array.from({ length: 21 }, (_, ml) => ml)}>
        {(ml) => <path class="line" d={`M80 ${y(ml)}h${ml % 10 === 0 ? 44 : ml % 5 === 0 ? 34 : 22}`} />}
      </For>
      <text class="numeral" x="68" y={y(10)} dy="0.35em">
        10
      </text>
      <text class="numeral" x="68" y={y(20)} dy="0.35em">
        20
      </text>
      <path class="wall" d="M74 66q6 3 6 12V330H172V70" />
      <path class="foot" d="M80 330H172L190 350H62Z" />
      <For each={called}>
        {(reading) => (
          <>
            <path class="taken" d={`M158 ${y(reading.ml)}h22`} />
            <text x="188" y={y(reading.ml)} dy="0.35em">
              {reading.time}
            </text>
          </>
        )}
      </For>
      <path class="next" d={`M74 ${y(14)}h104`} />
      <text class="next-numeral" x="68" y={y(14)} dy="0.35em">
        14
      </text>
      <path class="said" d={`M238 ${y(12)}l16 -17h28a10 10 0 0 1 10 10v14a10 10 0 0 1-10 10h-28z`} />
      <text class="word" x="272" y={y(12)} dy="0.35em">
        12
      </text>
    </svg>
  );
}

/** Height of a volume in the picture. */
const y = (ml: number): number => 330 - ml * 12;

const called = [
  { ml: 6, time: '0:00' },
  { ml: 8, time: '0:21' },
  { ml: 10, time: '0:43' },
  { ml: 12, time: '1:06' },
];
