import { createResource, For, Show, Suspense } from 'solid-js';
import { probeBrowser } from './probe-browser.ts';

/** What works in this browser, found out by asking it, and what the consequence is. */
export function BrowserReport() {
  const [findings] = createResource(probeBrowser);
  return (
    <section aria-labelledby="browser">
      <h2 id="browser">What works in this browser</h2>
      {/* Trying takes a second or two: the rest of the page does not wait for it. */}
      <Suspense fallback={<p class="quiet">Trying things out…</p>}>
        <Show when={findings()}>
          {(list) => (
            <ul class="findings">
              <For each={list()}>
                {(finding) => (
                  <li>
                    <strong>
                      <span aria-hidden="true">{finding.works ? '✓' : '✕'}</span> {finding.what}:{' '}
                      {finding.works ? 'yes' : 'no'}.
                    </strong>{' '}
                    {finding.means}
                  </li>
                )}
              </For>
            </ul>
          )}
        </Show>
      </Suspense>
    </section>
  );
}
