import { For } from 'solid-js';
import { helpLines } from '../../language/spoken-commands.ts';
import { keyHelp } from '../bench/key-help.ts';
import { Settings } from '../preferences/Settings.tsx';
import { BrowserReport } from './BrowserReport.tsx';
import { OtherWords } from './OtherWords.tsx';
import './help.css';

/** Words, keys, privacy, settings, and what works in this browser. */
export function Help() {
  return (
    <div class="help">
      <h1>Help</h1>
      <p>
        Open the microphone on the <a href="#/bench">bench</a> with one tap. From then on nothing needs to be touched.
      </p>
      <div class="help-pair">
        <section>
          <h2 id="words">What you can say</h2>
          <p>
            One thing at a time, with a short silence before and after it. A number inside a longer sentence is not
            taken as a reading. The moment of a reading is the beginning of your voice, so begin as the water touches
            the mark.
          </p>
          <section class="table-scroll" aria-labelledby="words">
            <table>
              <thead>
                <tr>
                  <th scope="col">Say</th>
                  <th scope="col">It does</th>
                </tr>
              </thead>
              <tbody>
                <For each={sayings}>
                  {([say, does]) => (
                    <tr>
                      <th scope="row">{say}</th>
                      <td>{does}</td>
                    </tr>
                  )}
                </For>
              </tbody>
            </table>
          </section>
          <OtherWords />
          <h2 id="sounds">What it answers</h2>
          <section class="table-scroll" aria-labelledby="sounds">
            <table>
              <thead>
                <tr>
                  <th scope="col">You hear</th>
                  <th scope="col">It means</th>
                </tr>
              </thead>
              <tbody>
                <For each={answers}>
                  {([hear, means]) => (
                    <tr>
                      <th scope="row">{hear}</th>
                      <td>{means}</td>
                    </tr>
                  )}
                </For>
              </tbody>
            </table>
          </section>
        </section>
        <section>
          <h2 id="keys">Keys on the bench</h2>
          <section class="table-scroll" aria-labelledby="keys">
            <table>
              <thead>
                <tr>
                  <th scope="col">Key</th>
                  <th scope="col">It does</th>
                </tr>
              </thead>
              <tbody>
                <For each={keyHelp}>
                  {(entry) => (
                    <tr>
                      <th scope="row">{entry.keys}</th>
                      <td>{entry.does}</td>
                    </tr>
                  )}
                </For>
              </tbody>
            </table>
          </section>
          <p>
            On the list of notebooks, D opens a finished example. On Readings, the arrow keys go from doubt to doubt and
            Enter opens one.
          </p>
        </section>
      </div>
      <h2 id="privacy">What leaves this device</h2>
      <p>
        Nothing that this page does: no readings, no sounds, no statistics. Notebooks, sounds and a learnt voice are
        kept in this browser, on this device, until you delete them. There is one exception, and only if you allow it:
        most browsers send what their own recogniser hears to their maker (Chrome to Google, Edge to Microsoft, Safari
        to Apple). The recogniser in this page and the sound marks never send anything.
      </p>
      <h2 id="settings">Settings of this device</h2>
      <Settings />
      <BrowserReport />
      <h2>Licences</h2>
      <p>
        Free under the MIT licence, without any warranty. <a href="licences.txt">The notices of the packages inside</a>.
      </p>
      <h2>Safety</h2>
      <p class="caution">
        Goggles and gloves on. Iodine stains. Never close a vessel that makes gas. Collect waste as your place demands.
        The reagents’ labels, the rules of your place and a qualified supervisor come before anything this page says.
      </p>
    </div>
  );
}

const answers: readonly (readonly [string, string])[] = [
  ['one short high tone', 'taken'],
  ['two tones, the second lower', 'taken, but in doubt: the run goes on; look at it later, or say “that was fifty”'],
  ['three quick low tones', 'not understood: the moment and its sound are kept, a value can be given later'],
  ['a falling tone', 'struck'],
  ['four rising tones', 'the span is reached'],
  ['two long low tones', 'trouble: it stands on the bench in words, as everything does'],
];

const quoted = (says: readonly string[]): string => says.map((one) => `“${one}”`).join(', ');

/** Numbers, then every row of the table of spoken commands. */
const sayings: readonly (readonly [string, string])[] = [
  [
    '“25”, “two five”, “25 and a half”, “25 decimal 5”, “at 25”, “that is 25 now”',
    'a reading of that many mL, now; two in one breath are two readings, “25, no, 26” is one',
  ],
  ...helpLines('en').map(({ says, does }) => [quoted(says), does] as const),
];

export default Help;
