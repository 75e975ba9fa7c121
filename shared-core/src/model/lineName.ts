import { type Phrase, phrase } from '../base/phrase.js';
import { labelText } from '../format/dumpText.js';
import type { Label } from '../format/row.js';
import type { Dump } from './dump.js';

/** What a line of a dump is called; a record of an image goes by its address. */
export function lineName({ layout }: Pick<Dump, 'layout'>, label: Label): Phrase {
  return layout.kind === 'image' ? phrase('Address {0}', labelText(label)) : phrase('Line {0}', labelText(label));
}

/** The head of the column of their names in a table. */
export function lineHead({ layout }: Pick<Dump, 'layout'>): Phrase {
  return layout.kind === 'image' ? phrase('Address') : phrase('Line');
}
