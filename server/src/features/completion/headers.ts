import { type Phrase, phrase } from '../../../../shared-core/src/base/index.js';
import { WORDS } from '../../../../shared-core/src/format/index.js';
import { HEADER_NAMES, type HeaderName, headersOf, USES } from '../../../../shared-core/src/model/index.js';
import type { Choice, CompletionPlace } from './place.js';

/** What each header says. The seal is left out: it is computed, not written by hand. */
const MEANINGS: Readonly<Record<Exclude<HeaderName, 'seal'>, Phrase>> = {
  profile: phrase('the profile that explains this dump: a path from here'),
  backup: phrase('the dump as it was found, with which this one is compared: a path from here'),
  vehicle: phrase('which vehicle: stock number, plate, whatever tells it apart'),
  vin: phrase('vehicle identification number, 17 characters'),
  part: phrase('part number of the module, as it was read'),
  software: phrase('software level of the module, as it was read'),
  module: phrase('number or name of the module, in place of the one in the profile'),
  taken: phrase('when it was read: date and time, such as 2026-03-02T09:14:00Z'),
  fitted: phrase('equipment that this vehicle is known to have: words parted by blanks'),
  absent: phrase('equipment that this vehicle is known not to have'),
  start: phrase('address at which the program of a memory image starts'),
  word: phrase('words in which the bytes are printed or stored: {0}', WORDS.join(', ')),
  use: phrase('what it is here for, where it is not to be worked on: {0}', USES.join(', ')),
  note: phrase('anything else; may be repeated'),
};

/** Header names, but those that the dump has already. */
export function headerChoices({ session, explained, position, row, before }: CompletionPlace): Choice[] {
  const hasOwn = explained.dump.notation.headers === 'own';
  // Other forms have headers only in comments, which the writer has begun.
  const begun = !hasOwn ? /^[\s;#/]*(@\w*)$/.exec(before) : /^\s*(@?\w*)$/.exec(before);
  if (begun === null || row.kind === 'record') return [];
  const written = begun[1] ?? '';
  // A number begins a line, not a header.
  if (/^\d/.test(written)) return [];
  const present = headersOf(explained.dump).flatMap(({ row: at, header }) =>
    at === position.line || header.name === 'note' ? [] : [header.name],
  );
  const start = position.character - written.length;
  const end = row.kind === 'header' ? Math.max(position.character, row.nameSpan.end) : position.character;
  const behind = row.text.slice(end);
  // What is behind the cursor would become the value of the header.
  if (row.kind !== 'header' && behind.trim() !== '') return [];
  return HEADER_NAMES.flatMap((name): Choice[] => {
    if (name === 'seal' || present.includes(name) || (name === 'start' && hasOwn)) return [];
    return [
      {
        label: `@${name}`,
        words: session.say(MEANINGS[name]),
        text: /^[ \t]/.test(behind) ? `@${name}` : `@${name} `,
        span: { row: position.line, start, end },
        kind: 'keyword',
        continues: name === 'profile' || name === 'backup',
      },
    ];
  });
}
