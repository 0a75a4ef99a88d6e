import { catalogue } from '../language/page-language.ts';
import type { Screen } from './route.ts';

/** The screens in a word each, for the menu and the window's title. */
export const placeNames = catalogue<Readonly<Record<Screen, string>> & { readonly menu: string }>(
  {
    start: 'Notebooks',
    'run-sheet': 'Run sheet',
    bench: 'Bench',
    readings: 'Readings',
    rates: 'Rates',
    report: 'Report',
    class: 'Class',
    help: 'Help',
    open: 'Open a link',
    voice: 'Say these words',
    rehearsal: 'Rehearsal',
    menu: 'Screens',
  },
  {
    start: 'Hefte',
    'run-sheet': 'Laufplan',
    bench: 'Messplatz',
    readings: 'Ablesungen',
    rates: 'Ergebnis',
    report: 'Bericht',
    class: 'Klasse',
    help: 'Hilfe',
    open: 'Link öffnen',
    voice: 'Diese Wörter sagen',
    rehearsal: 'Probelauf',
    menu: 'Ansichten',
  },
);
