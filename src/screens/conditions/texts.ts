import { catalogue } from '../../language/page-language.ts';

/** Air pressure, temperature and strengths that are missing, asked for on the Bench and in Rates. */
export const texts = catalogue(
  {
    forMoles: 'For k in moles:',
    pressure: 'Air pressure (hPa)',
    pressureFrom: 'read from',
    barometer: 'a barometer here',
    weather: 'a weather report',
    altitude: 'Height above the sea (m)',
    temperature: 'Temperature (°C)',
    strength: (name: string) => `Strength of ${name} (mol/L)`,
    save: 'Save',
    skip: 'Skip',
    saved: 'Saved',
    seaLevel: 'That cannot be right: a weather report says 900 to 1100 hPa, and the height is −500 to 5000 m.',
    wrongStrength: 'That cannot be right: a strength is a number above 0.',
    notANumber: 'A number such as 21 or 21.5, please.',
    nothing: 'Nothing was filled in.',
  },
  {
    forMoles: 'Für k in Mol:',
    pressure: 'Luftdruck (hPa)',
    pressureFrom: 'abgelesen an',
    barometer: 'einem Barometer hier',
    weather: 'einem Wetterbericht',
    altitude: 'Höhe über dem Meer (m)',
    temperature: 'Temperatur (°C)',
    strength: (name) => `Stärke von ${name} (mol/L)`,
    save: 'Speichern',
    skip: 'Überspringen',
    saved: 'Gespeichert',
    seaLevel: 'Das kann nicht stimmen: ein Wetterbericht sagt 900 bis 1100 hPa, und die Höhe ist −500 bis 5000 m.',
    wrongStrength: 'Das kann nicht stimmen: eine Stärke ist eine Zahl über 0.',
    notANumber: 'Bitte eine Zahl wie 21 oder 21,5.',
    nothing: 'Nichts wurde eingetragen.',
  },
);
