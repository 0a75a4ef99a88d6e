/** Eleven marks of 2 mL from 10 mL, as they are called. */
export const calledMarks: readonly string[] = [
  'ten',
  'twelve',
  'fourteen',
  'sixteen',
  'eighteen',
  'twenty',
  'twenty two',
  'twenty four',
  'twenty six',
  'twenty eight',
  'thirty',
];

/** A whole run as it is spoken. */
export const calledRun: readonly string[] = ['start run one', ...calledMarks, 'end run'];
