// What each written form makes of lines as they are, as people wrote them and as they were damaged: the row, its bytes, where
// its digits and its label are, and what is said of it. What is expected stands in test/expected/lines, to be read there.
import { describe, it } from 'mocha';
import { hex, say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { FORMS, type FormId, formOf, type Notation, readRows } from '../../../shared-core/src/format/index.js';
import { inWords } from '../../../shared-core/src/format/inWords.js';
import type { WrittenForm } from '../../../shared-core/src/format/notation.js';
import { recognise } from '../../../shared-core/src/format/notationOf.js';
import { WORDS } from '../../../shared-core/src/format/word.js';
import { bind } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { assertExpected } from '../../support/expected.js';
import { bytesAt } from '../../support/images.js';
import { loaded } from '../../support/loaded.js';
import { shownRows, visible } from '../../support/shownRows.js';
import { LINES, TEXTS, WORD_TEXTS } from './everyLine.js';

const NONE = { kind: 'none' } as const;

/** The bytes of a text at their addresses, where it starts, and all that is wrong with it. */
function shownWhole(text: string, notation: Notation): string {
  const dump = bind(readRows(text, notation), notation, EMPTY_PROFILE);
  let [bytes, next] = ['', -1];
  for (const [at, byte] of [...bytesAt(dump)].sort(([a], [b]) => a - b)) {
    bytes += `${at === next ? '' : ` ${hex(at, 4)}:`}${hex(byte)}`;
    next = at + 1;
  }
  const problems = checkDump(loaded(dump, NONE, NONE)).map(
    ({ row, start, end, code, severity, message }) =>
      `    ${severity} ${code} at ${row}:${start}-${end}: ${visible(say(message))}\n`,
  );
  return `    holds${bytes}\n${problems.join('')}`;
}

function known(name: string, text: string): string {
  const found = recognise(name, text);
  if (found.kind === 'form') return found.form.id;
  return `unclear: ${found.forms.map(({ id, word }) => [id, ...(word ? [word] : [])].join(' ')).join(', ')}`;
}

describe('every line of a written form', () => {
  const whole = (form: WrittenForm, text: string) =>
    `${visible(text)
      .replaceAll('␊', '␊\n')
      .replace(/(?<!\n)$/, '\n')}${shownWhole(text, form)}`;

  for (const form of FORMS as readonly WrittenForm[])
    it(`is read as is expected in ${form.id}`, () => {
      const texts = (TEXTS[form.id as FormId] ?? []).map(
        (text) => `${whole(form, text)}    fits ${form.fits(text)}, known as ${known('', text)}\n`,
      );
      assertExpected(`lines/${form.id}.txt`, `${shownRows(LINES[form.id as FormId], form)}\n${texts.join('\n')}`);
    });

  it('is read as is expected in words of several bytes', () => {
    const texts = WORD_TEXTS.flatMap(([id, text]) =>
      WORDS.map((word) => {
        const form = inWords(formOf(id) as WrittenForm, word);
        return `${id} in ${word}, known as ${known('', text)}\n${shownRows(text, form)}${shownWhole(text, form).replace(/: .*/g, '')}`;
      }),
    );
    assertExpected('lines/words.txt', texts.join('\n'));
  });
});
