import { catalogue } from '../../language/page-language.ts';

type KeyHelp = readonly { readonly keys: string; readonly does: string }[];

/** Keys of the bench and what they do, in the order in which Help shows them. */
export const keyHelp = catalogue<KeyHelp>(
  [
    { keys: 'Space', does: 'a reading at the next mark, now' },
    { keys: '0–9 then Enter', does: 'a reading of that value, at the moment of the first digit' },
    { keys: 'C, digits, Enter', does: 'corrects the latest reading; its time stays' },
    { keys: 'D', does: 'disregards (strikes) the latest reading' },
    { keys: 'S', does: 'starts the next run' },
    { keys: 'E', does: 'ends the run' },
    { keys: 'B, digits, Enter', does: 'baseline before mixing' },
    { keys: 'T, digits, Enter', does: 'temperature, now' },
    { keys: 'P', does: 'stands by, and goes ahead again' },
    { keys: 'A', does: 'says the latest reading again' },
    { keys: 'W', does: 'swirling, and swirl stopped' },
    { keys: 'L', does: 'a leak' },
    { keys: 'U', does: 'takes the last act back and says which' },
    { keys: 'Escape', does: 'forgets the digits typed so far' },
  ],
  [
    { keys: 'Leertaste', does: 'eine Ablesung an der nächsten Marke, jetzt' },
    { keys: '0–9, dann Eingabe', does: 'eine Ablesung mit dieser Zahl, zum Zeitpunkt der ersten Ziffer' },
    { keys: 'C, Ziffern, Eingabe', does: 'berichtigt die letzte Ablesung; ihr Zeitpunkt bleibt' },
    { keys: 'D', does: 'streicht die letzte Ablesung' },
    { keys: 'S', does: 'beginnt den nächsten Lauf' },
    { keys: 'E', does: 'beendet den Lauf' },
    { keys: 'B, Ziffern, Eingabe', does: 'Stand des Zylinders vor dem Mischen' },
    { keys: 'T, Ziffern, Eingabe', does: 'Temperatur, jetzt' },
    { keys: 'P', does: 'hält an und macht wieder weiter' },
    { keys: 'A', does: 'sagt die letzte Ablesung noch einmal' },
    { keys: 'W', does: 'Schwenken und Ende des Schwenkens' },
    { keys: 'L', does: 'ein Leck' },
    { keys: 'U', does: 'nimmt die letzte Handlung zurück und sagt, welche' },
    { keys: 'Escape', does: 'vergisst die Ziffern, die bis jetzt getippt sind' },
  ],
);
