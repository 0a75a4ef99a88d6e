import type { Trouble, TroubleKind } from './ear.ts';

export interface TroubleSentence {
  /** What happened, in one short sentence: shown large and announced. */
  readonly title: string;
  /** What to do about it, or what goes on without it. */
  readonly advice: string;
}

const sentences: Readonly<Record<TroubleKind, TroubleSentence>> = {
  'microphone-refused': {
    title: 'The browser does not let this page use the microphone.',
    advice:
      'Allow it in the site settings beside the address, then tap the microphone again. Until then, readings go in with the space bar, by typing, or with the buttons.',
  },
  'microphone-missing': {
    title: 'No microphone was found.',
    advice:
      'Connect one and tap the microphone again. Until then, readings go in with the space bar, by typing, or with the buttons.',
  },
  'microphone-lost': {
    title: 'The microphone was disconnected or taken by another program.',
    advice: 'It is taken up again by itself when it comes back. Until then, readings go in by hand.',
  },
  'microphone-muted': {
    title: 'The microphone is muted, or gives no sound at all.',
    advice: 'Switch it on at the headset, the keyboard or in the system settings.',
  },
  'recogniser-missing': {
    title: 'This browser has no speech recognition that works.',
    advice: "Choose the page's own recogniser, or sound marks: every call is then the next mark.",
  },
  'recogniser-refused': {
    title: "The browser's speech recognition was refused.",
    advice:
      'Allow the microphone for this page. On Apple devices, dictation must be on too (Settings, then Privacy, then Speech Recognition). Sound marks go on where the microphone is open.',
  },
  'recogniser-silent': {
    title: "The browser's speech recognition started but does not answer.",
    advice: "Words are not heard for now. Choose the page's own recogniser, or sound marks.",
  },
  'recogniser-network': {
    title: "The browser's speech recognition cannot reach its service.",
    advice:
      "It needs a network. It is tried again now and then; the page's own recogniser and sound marks work without one.",
  },
  'recogniser-language': {
    title: "The browser's speech recognition does not know this language here.",
    advice: "Choose another language, the page's own recogniser, or sound marks.",
  },
  'recogniser-busy': {
    title: 'Something else is using speech recognition.',
    advice: 'Only one page can listen for words: close the other one, then tap the microphone here.',
  },
  'ear-restarting': {
    title: 'The recogniser in this page stopped answering, so it is being started again.',
    advice: 'What you said meanwhile is kept and heard again.',
  },
  'page-hidden': {
    title: 'This page is not in front, so it may not hear you.',
    advice: 'Bring it back to the front. The times of a run go on meanwhile.',
  },
  'needs-tap': {
    title: 'The browser wants a tap before it listens again.',
    advice: 'Tap the microphone.',
  },
  'cannot-hear-you': {
    title: 'Nothing you said could be heard as words for a while.',
    advice: 'Come closer to the microphone or speak up. Another page or program may hold the microphone.',
  },
};

/** The sentence for the person about a trouble of hearing. */
export function sentenceOf(trouble: Pick<Trouble, 'kind'>): TroubleSentence {
  return sentences[trouble.kind];
}
