import { textsOf } from '../texts.ts';
import { texts } from './catalogue.ts';

export const readingsTexts = textsOf(texts);
