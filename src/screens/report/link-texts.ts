import { catalogue } from '../../language/page-language.ts';

export const linkTexts = catalogue(
  { withMembers: 'with the names of the members' },
  { withMembers: 'mit den Namen der Mitglieder' },
);
