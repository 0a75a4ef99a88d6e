import { For, Show } from 'solid-js';
import type { KeptVoice } from '../../hearing/voice-store.ts';
import { useDesk } from '../desk.tsx';
import { prefer, preferences } from '../preferences/device.ts';
import { hrefOf } from '../route.ts';
import { textsOf } from '../texts.ts';
import { callAs, keep, others, voice } from './known-voice.ts';
import { texts } from './texts.ts';

/** In the settings: what the ear knows of the caller's voice, who calls, and the switches. */
export function VoiceChoice() {
  const desk = useDesk();
  const t = textsOf(texts);
  const state = (): string => {
    const known = voice();
    if (!known) return t().knowsNone;
    const { learnt } = known;
    if (!learnt) return t().renewed;
    if (!learnt.helps) return t().noGain(learnt);
    return known.wanted ? t().hearsRight(learnt) : t().off;
  };
  const nameOf = (known: KeptVoice): string =>
    known.name || t().unnamed(new Date(known.learntWallMs).toLocaleDateString());
  const mine = (): string => {
    const known = voice();
    return known ? nameOf(known) : t().nobodyYet;
  };
  const complain = (): void => desk.complain(t().notKept);
  return (
    <fieldset>
      <legend>{t().yourVoice}</legend>
      <Show when={voice() || others().length > 0}>
        <label>
          {t().whoCalls}
          <select
            onChange={(event) => {
              const chosen = event.currentTarget.value;
              if (chosen !== '') callAs(chosen === 'new' ? null : Number(chosen)).catch(complain);
              event.currentTarget.value = '';
            }}
          >
            <option value="">{mine()}</option>
            <For each={others()}>{(other, i) => <option value={String(i())}>{nameOf(other)}</option>}</For>
            <Show when={voice()}>
              <option value="new">{t().somebodyNew}</option>
            </Show>
          </select>
        </label>
      </Show>
      <p class="voice-state">{state()}</p>
      <label class="beside">
        <input
          type="checkbox"
          checked={preferences().learnAtWork}
          onChange={(event) => prefer({ learnAtWork: event.currentTarget.checked })}
        />
        <span>{t().learnAtWork}</span>
      </label>
      <p class="quiet">{t().learnAtWorkHow}</p>
      <Show when={voice()?.learnt?.helps && voice()}>
        {(known) => (
          <label class="beside">
            <input
              type="checkbox"
              checked={known().wanted}
              onChange={(event) => keep({ ...known(), wanted: event.currentTarget.checked }).catch(complain)}
            />
            <span>{t().hearWith}</span>
          </label>
        )}
      </Show>
      <a class="button" href={hrefOf('voice')}>
        {voice() ? t().change : t().say}
      </a>
    </fieldset>
  );
}
