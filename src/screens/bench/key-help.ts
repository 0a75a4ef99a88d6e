/** Keys of the bench and what they do, in the order in which Help shows them. */
export const keyHelp: readonly { readonly keys: string; readonly does: string }[] = [
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
];
