import { catalogue, type PageLanguage } from '../language/page-language.ts';
import type { Trouble, TroubleKind } from './ear.ts';

export interface TroubleSentence {
  /** What happened, in one short sentence: shown large and announced. */
  readonly title: string;
  /** What to do about it, or what goes on without it. */
  readonly advice: string;
}

const sentences = catalogue<Readonly<Record<TroubleKind, TroubleSentence>>>(
  {
    'microphone-refused': {
      title: 'The browser does not let this page use the microphone.',
      advice:
        'Allow it in the site settings beside the address, then tap the microphone again. Until then, readings go in with the space bar, by typing, or with the buttons.',
    },
    'microphone-insecure': {
      title: 'Browsers open a microphone only for pages that come encrypted.',
      advice:
        'Open this page by an address that begins with https, or on this device itself. Here, readings go in with the space bar, by typing, or with the buttons.',
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
  },
  {
    'microphone-refused': {
      title: 'Der Browser lässt diese Seite das Mikrofon nicht benutzen.',
      advice:
        'Erlaub es in den Einstellungen der Seite neben der Adresse und tipp dann wieder auf das Mikrofon. Bis dahin gehen Ablesungen mit der Leertaste, durch Tippen oder mit den Knöpfen.',
    },
    'microphone-insecure': {
      title: 'Browser öffnen ein Mikrofon nur für Seiten, die verschlüsselt kommen.',
      advice:
        'Öffne diese Seite mit einer Adresse, die mit https beginnt, oder auf diesem Gerät selbst. Hier gehen Ablesungen mit der Leertaste, durch Tippen oder mit den Knöpfen.',
    },
    'microphone-missing': {
      title: 'Kein Mikrofon gefunden.',
      advice:
        'Schließ eines an und tipp wieder auf das Mikrofon. Bis dahin gehen Ablesungen mit der Leertaste, durch Tippen oder mit den Knöpfen.',
    },
    'microphone-lost': {
      title: 'Das Mikrofon wurde abgezogen oder von einem anderen Programm genommen.',
      advice: 'Kommt es wieder, geht es von selbst weiter. Bis dahin gehen Ablesungen von Hand.',
    },
    'microphone-muted': {
      title: 'Das Mikrofon ist stumm oder liefert gar keinen Ton.',
      advice: 'Schalte es am Headset, an der Tastatur oder in den Einstellungen des Systems ein.',
    },
    'recogniser-missing': {
      title: 'Dieser Browser hat keine Spracherkennung, die arbeitet.',
      advice: 'Wähl die Spracherkennung dieser Seite oder Tonmarken: Jede Ansage ist dann die nächste Marke.',
    },
    'recogniser-refused': {
      title: 'Die Spracherkennung des Browsers wurde nicht erlaubt.',
      advice:
        'Erlaub dieser Seite das Mikrofon. Auf Apple-Geräten muss auch die Diktierfunktion an sein (Einstellungen, Datenschutz, Spracherkennung). Tonmarken gehen weiter, wo das Mikrofon geht.',
    },
    'recogniser-silent': {
      title: 'Die Spracherkennung des Browsers ist gestartet, antwortet aber nicht.',
      advice: 'Wörter werden gerade nicht gehört. Wähl die Spracherkennung dieser Seite oder Tonmarken.',
    },
    'recogniser-network': {
      title: 'Die Spracherkennung des Browsers erreicht ihren Dienst nicht.',
      advice:
        'Sie braucht ein Netz. Sie wird ab und zu wieder versucht; die Spracherkennung dieser Seite und Tonmarken gehen ohne Netz.',
    },
    'recogniser-language': {
      title: 'Die Spracherkennung des Browsers kennt diese Sprache hier nicht.',
      advice: 'Wähl eine andere Sprache, die Spracherkennung dieser Seite oder Tonmarken.',
    },
    'recogniser-busy': {
      title: 'Etwas anderes benutzt gerade die Spracherkennung.',
      advice: 'Nur eine Seite kann auf Wörter hören: Schließ die andere und tipp hier auf das Mikrofon.',
    },
    'ear-restarting': {
      title: 'Die Spracherkennung dieser Seite hat nicht mehr geantwortet und wird neu gestartet.',
      advice: 'Was du inzwischen sagst, bleibt erhalten und wird noch gehört.',
    },
    'page-hidden': {
      title: 'Diese Seite ist nicht vorn und hört dich vielleicht nicht.',
      advice: 'Hol sie wieder nach vorn. Die Zeiten eines Laufs gehen weiter.',
    },
    'needs-tap': {
      title: 'Der Browser will ein Tippen, ehe er wieder zuhört.',
      advice: 'Tipp auf das Mikrofon.',
    },
    'cannot-hear-you': {
      title: 'Seit einer Weile war nichts als Wort zu verstehen.',
      advice:
        'Komm näher ans Mikrofon oder sprich lauter. Vielleicht hält eine andere Seite oder ein anderes Programm das Mikrofon.',
    },
  },
);

/**
 * The sentence for the person about a trouble of hearing.
 * @param language of the page
 */
export function sentenceOf(trouble: Pick<Trouble, 'kind'>, language: PageLanguage): TroubleSentence {
  return sentences[language][trouble.kind];
}
