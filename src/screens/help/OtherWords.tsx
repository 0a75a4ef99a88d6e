import { createResource, For, Show } from 'solid-js';
import { en } from '../../language/words/en.ts';
import { wordsFor } from '../../language/words-for.ts';
import { preferences } from '../preferences/device.ts';
import { ScrollRegion } from '../table/ScrollRegion.tsx';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** The procedure words of the language of the calls beside the English ones; nothing where they are the same. */
export function OtherWords() {
  const t = textsOf(texts);
  const [words] = createResource(() => preferences().language, wordsFor);
  const rows = () =>
    Object.entries(words()?.commands ?? {}).flatMap(([name, { said }]) => {
      const english = Object.entries(en.commands).find(([own]) => own === name)?.[1].said[0];
      const own = said.map((phrase) => t().quoted(phrase)).join(', ');
      return english === undefined || said.includes(english) ? [] : [{ english: t().quoted(english), own }];
    });
  return (
    <Show when={rows().length > 0}>
      <ScrollRegion label={t().otherWords(words()?.name ?? '')}>
        <table>
          <thead>
            <tr>
              <th scope="col">{t().inPlaceOf}</th>
              <th scope="col">{words()?.name}</th>
            </tr>
          </thead>
          <tbody>
            <For each={rows()}>
              {({ english, own }) => (
                <tr>
                  <th scope="row">{english}</th>
                  <td>{own}</td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </ScrollRegion>
    </Show>
  );
}
