import { z } from 'zod/mini';
import { pageLanguages } from '../language/page-language.ts';
import { keepValues, keptValue } from '../log/kept-values.ts';

/**
 * How this device listens and answers. Kept per device, not per notebook, and never sent anywhere. A value that
 * cannot be read falls back to its default alone, so that one damaged setting does not take the others with it.
 */
export const Preferences = z.object({
  /**
   * The browser's own recogniser. 'not-asked': no consent was asked yet; 'on-device': only if the browser promises
   * to recognise on the device; 'may-send': it may send the sound to its maker.
   */
  browserEar: z.catch(z.enum(['not-asked', 'never', 'on-device', 'may-send']), 'not-asked'),
  /** The embedded recogniser: works offline, sends nothing. */
  ownEar: z.catch(z.boolean(), true),
  /** Every sound is the next mark; no words are recognised at all. */
  soundMarks: z.catch(z.boolean(), false),
  /** Keep the sound of every call on this device. */
  clips: z.catch(z.boolean(), true),
  /** The ear learns the caller from calls that stayed or were put right, after each run. */
  learnAtWork: z.catch(z.boolean(), true),
  /** The twenty words were offered before a first run, and left out: they are not offered again. */
  twentyWordsLeftOut: z.catch(z.boolean(), false),
  readBack: z.catch(z.enum(['off', 'when-doubtful', 'always']), 'off'),
  /** 0 to 1. */
  cueVolume: z.catch(z.number().check(z.gte(0), z.lte(1)), 0.6),
  silent: z.catch(z.boolean(), false),
  /** BCP-47 tag of the language the calls are made in. */
  language: z.catch(z.string().check(z.minLength(2), z.maxLength(20)), 'en-US'),
  /** Language in which the page is read; 'system' follows the browser. */
  pageLanguage: z.catch(z.enum(['system', ...pageLanguages]), 'system'),
  theme: z.catch(z.enum(['system', 'light', 'dark']), 'system'),
  /** The usual cautions were read on this device. */
  cautionsRead: z.catch(z.boolean(), false),
});
export type Preferences = z.infer<typeof Preferences>;

export const defaultPreferences: Preferences = Preferences.parse({});

const key = 'meniscall-preferences';

/** What was kept; the defaults when nothing was, or when the browser keeps nothing. */
export async function loadPreferences(): Promise<Preferences> {
  try {
    const parsed = Preferences.safeParse((await keptValue(key)) ?? {});
    return parsed.success ? parsed.data : defaultPreferences;
  } catch {
    // A browser that blocks storage still works with the defaults; the desk says that nothing is kept.
    return defaultPreferences;
  }
}

/** Resolves with false when the browser did not keep it. */
export async function savePreferences(preferences: Preferences): Promise<boolean> {
  try {
    await keepValues({ [key]: preferences });
    return true;
  } catch {
    return false;
  }
}
