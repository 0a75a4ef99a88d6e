import { catalogue } from '../language/page-language.ts';
import type { Cause } from '../log/event.ts';

/** Why a reading may be off, in a few words; Readings, Rates, the report and the tables say the same. */
export const causeTexts = catalogue<Readonly<Record<Cause, string>>>(
  {
    misheard: 'misheard number',
    'shifted-mark': 'missed or doubled mark',
    'late-call': 'called late',
    surge: 'surge or settling at the start',
    'slow-down': 'leak or slow-down',
    'stirring-change': 'change of stirring',
    unexplained: 'unexplained',
    'own-judgement': 'own judgement',
  },
  {
    misheard: 'falsch gehörte Zahl',
    'shifted-mark': 'Marke verpasst oder doppelt',
    'late-call': 'spät angesagt',
    surge: 'Stoß oder Einlaufen am Anfang',
    'slow-down': 'Leck oder langsamer',
    'stirring-change': 'anders gerührt',
    unexplained: 'ungeklärt',
    'own-judgement': 'eigenes Urteil',
  },
);
