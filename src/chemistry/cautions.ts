import type { Caution } from './caution.ts';
import { speciesRecord } from './species.ts';

/** Of every gas collection. Common practice. */
export const generalCautions: readonly Caution[] = [
  {
    when: 'always',
    sentence: 'Wear goggles and gloves; wipe up spills at once.',
    german: 'Schutzbrille und Handschuhe tragen; Verschüttetes sofort aufwischen.',
  },
  {
    when: 'running',
    sentence: 'Never close a vessel that makes gas: check that the tube is open, not pinched, before mixing.',
    german:
      'Nie ein Gefäß verschließen, in dem Gas entsteht: vor dem Mischen prüfen, ob der Schlauch offen und nicht geknickt ist.',
  },
  {
    when: 'running',
    sentence: 'Take the stopper or the tube off before the flask cools, so that no water is sucked back.',
    german: 'Stopfen oder Schlauch abnehmen, ehe der Kolben abkühlt, damit kein Wasser zurückgesaugt wird.',
  },
];

/**
 * Cautions that follow from what a bottle holds and how strong it is, worst first. The label on the bottle comes first
 * in any case; for a species without a record that is the whole caution, never silence.
 *
 * @param species key as in plans: "H2O2", "I-", …; "water" needs none
 * @param molPerM3 concentration, null when unknown (then: handle it as strong)
 * @example
 * solutionCautions('unobtainium', null)[0]?.sentence // => 'Meniscall knows no cautions for unobtainium: read its label and ask your supervisor before you open it.'
 */
export function solutionCautions(species: string, molPerM3: number | null): readonly Caution[] {
  if (species === 'water') return [];
  const known = speciesRecord(species);
  if (known) return known.cautions(molPerM3);
  return [
    {
      when: 'always',
      sentence: `Meniscall knows no cautions for ${species}: read its label and ask your supervisor before you open it.`,
      german: `Meniscall kennt keine Warnhinweise für ${species}: vor dem Öffnen das Etikett lesen und die Aufsicht fragen.`,
    },
  ];
}
