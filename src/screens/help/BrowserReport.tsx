import { createResource, For, Show, Suspense } from 'solid-js';
import { Sign } from '../look/Sign.tsx';
import { pageLanguage, textsOf } from '../texts.ts';
import { findingsOf, probeBrowser } from './probe-browser.ts';
import { texts } from './texts.ts';

/** What works in this browser, found out by asking it, and what the consequence is. */
export function BrowserReport() {
  const t = textsOf(texts);
  const [probed] = createResource(probeBrowser);
  return (
    // Trying takes a second or two: the rest of the page does not wait for it.
    <Suspense fallback={<p class="quiet">{t().trying}</p>}>
      <Show when={probed()}>
        {(answers) => (
          <ul class="findings">
            <For each={findingsOf(answers(), pageLanguage())}>
              {(finding) => (
                <li>
                  <strong>
                    <Sign sign={finding.works ? '✓' : '✕'} /> {finding.what}: {finding.works ? t().yes : t().no}.
                  </strong>{' '}
                  {finding.means}
                </li>
              )}
            </For>
          </ul>
        )}
      </Show>
    </Suspense>
  );
}
