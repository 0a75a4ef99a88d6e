import type { PageLanguage } from '../language/page-language.ts';
import type { NotebookEvent } from '../log/event.ts';
import type { Refusal } from '../log/refusal.ts';
import type { Report } from '../results/report.ts';
import type { HandOut } from './hand-out.ts';
import type { ColumnChoice, PastedReadings } from './pasted-readings.ts';
import type { TakenIn } from './take-in.ts';

/** What arrived, as far as the page needs it to show it. A notebook's entries stay in the worker until they are kept. */
export type Arrived =
  | { readonly kind: 'plan'; readonly handOut: HandOut }
  /** Columns of times and volumes, to be looked at before they are taken. */
  | { readonly kind: 'columns'; readonly text: string }
  /** `report`: when it was asked for and could be made. */
  | { readonly kind: 'notebook'; readonly id: string; readonly events: number; readonly report: Report | null };

/** What the page asks of the worker at the door, one thing at a time. */
export type DoorOrder =
  | {
      readonly ask: 'arrive';
      readonly source: Blob | string;
      readonly language: PageLanguage;
      readonly report: boolean;
    }
  | {
      readonly ask: 'columns';
      readonly text: string;
      readonly language: PageLanguage;
      readonly choice: ColumnChoice;
    }
  /** Stores what arrived last. `base`: address of the app. */
  | { readonly ask: 'keep'; readonly base: string; readonly language: PageLanguage }
  /** Sends the entries of what arrived last, in pieces. */
  | { readonly ask: 'content' };

/** How far it is; the page says it in its own words. */
export type DoorStep = 'reading' | 'checking' | 'computing' | 'storing';

export type DoorAnswer =
  | { readonly say: 'step'; readonly step: DoorStep }
  | { readonly say: 'arrived'; readonly arrived: Arrived }
  | { readonly say: 'columns'; readonly found: PastedReadings }
  | { readonly say: 'refused'; readonly refusal: Refusal }
  | { readonly say: 'kept'; readonly taken: TakenIn }
  /** The browser did not store it. */
  | { readonly say: 'not-kept' }
  | { readonly say: 'piece'; readonly events: readonly NotebookEvent[]; readonly last: boolean; readonly id: string };
