import { readIsoTime } from '../base/isoTime.js';
import { nearestName } from '../base/nearestName.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { labelText } from '../format/dumpText.js';
import { isForm } from '../format/forms.js';
import { readLineLabel } from '../format/label.js';
import { recognise } from '../format/notationOf.js';
import type { Label, RecordRow, Row } from '../format/row.js';
import { whyUnclear } from '../format/whyUnclear.js';
import { passedRows } from '../model/account.js';
import { type Dump, sampleOf } from '../model/dump.js';
import { whyRepeated } from '../model/gate.js';
import { HEADER_NAMES, headersOf, type PlacedHeader, repeatedHeaders } from '../model/headers.js';
import { labelOfRow } from '../model/layout.js';
import { lineCalled, lineNamer } from '../model/lineName.js';
import { isProtecting, nearHeader } from '../model/nearHeaders.js';
import { bytesSpan, labelSpanOf } from '../model/spans.js';
import { USES, useOf } from '../model/useHeader.js';
import { isWrongWord, whyWrongWord } from '../model/wordHeader.js';
import { dataBytes, firstLabel, lastLabel, positionOf } from '../profile/lineLabels.js';
import type { ProblemCode } from './diagnostics.js';
import { withDigitsBySum } from './digitBySum.js';
import { type Problem, problem } from './problem.js';

/** What rows say of themselves: characters that are no hex, groups with a digit too few. */
export function rowProblems(dump: Dump): Problem[] {
  return dump.invalidRows.flatMap((row) => {
    const label = labelOfRow(dump.rows[row]);
    return withDigitsBySum(dump, row).map(({ code, start, end, message, meant }) =>
      problem(code, { row, start, end }, message, {
        ...(label === undefined ? {} : { label }),
        ...(meant === undefined ? {} : { meant }),
      }),
    );
  });
}

/** Lines that hold hex digits and are taken for text, though nobody says that they are a comment. */
export function passedProblems(dump: Dump): Problem[] {
  return passedRows(dump).map((row) => {
    const text = dump.rows[row]?.text ?? '';
    const start = text.length - text.trimStart().length;
    const message = phrase(
      'This line holds hex digits and is not read. Put # before it if it is a comment; if it holds a sum, give the sum in "totals" a "pattern".',
    );
    return problem('line-not-read', { row, start, end: Math.min(text.trimEnd().length, start + 120) }, message);
  });
}

/**
 * A file that is no text of hex lines at all: binary, or saved as UTF-16. One problem in place of thousands.
 * Only rows that cannot be read are looked at, as a zero character never stands in one that can.
 */
export function unreadableText(dump: Dump): Problem | undefined {
  const row = dump.invalidRows.slice(0, 16).find((index) => /[\0\uFFFD]/.test(dump.rows[index]?.text ?? ''));
  if (row === undefined) return undefined;
  const start = (dump.rows[row]?.text ?? '').search(/[\0\uFFFD]/);
  const message = phrase(
    'This file is no text of hex lines (it holds zero bytes or bytes that are not UTF-8). If it is text saved as UTF-16, save it as UTF-8; if it is a binary image, convert it to hex lines first.',
  );
  return problem('text-unreadable', { row, start, end: start + 1 }, message);
}

/**
 * A file that holds not one record of its form: other text, or an image under the name of another form. One problem in
 * place of one for each line.
 */
export function foreignText(dump: Dump): Problem | undefined {
  const { notation, layout, invalidRows, rows } = dump;
  const other = imageProblems(dump).find(({ code }) => code === 'text-unreadable');
  if (other !== undefined) return { ...other, start: 0, end: rows[other.row]?.text.trimEnd().length ?? 0 };
  const row = invalidRows[0];
  if (!isForm(notation) || notation.image !== undefined || layout.order.length > 0 || row === undefined)
    return undefined;
  const { text } = rows[row] as Row;
  const place = { row, start: 0, end: text.trimEnd().length };
  const whole = recognise('', sampleOf(rows));
  if (whole.kind === 'unclear') {
    const end = rows[0]?.text.trimEnd().length ?? 0;
    return problem('text-unreadable', { row: 0, start: 0, end }, whyUnclear(whole.forms, sampleOf(rows)));
  }
  // Whatever people wrote before the records says nothing of their form.
  const found = whole.form.image === undefined ? recognise('', sampleOf(rows.slice(row))) : whole;
  if (found.kind === 'unclear' || found.form.image === undefined) return undefined;
  const { id: written, title, endings } = found.form;
  const message = phrase('This file holds {0}. Give its name the ending "{1}".', title, `.${endings[0]}`);
  return problem('text-unreadable', place, message, { written });
}

/** Lines that are missing, repeated, unknown, out of order or of the wrong length. */
export function layoutProblems(dump: Dump): Problem[] {
  const { layout, rows } = dump;
  const at = (row: number, code: ProblemCode, message: Phrase): Problem =>
    problem(code, labelSpanOf(dump, row), message, { label: labelOfRow(rows[row]) as Label });
  const nameOf = lineNamer(dump);
  const names = namesWanted(dump, nameOf);
  return [
    ...layout.repeated.map((row) => {
      const label = labelOfRow(rows[row]) as Label;
      const first = layout.rowOf(label) as number;
      const name = lineCalled(dump, row);
      const message = phrase('Line {0} is here a second time; the first is in row {1}. Remove one.', name, first + 1);
      return {
        ...at(row, 'line-repeated', message),
        related: { span: labelSpanOf(dump, first), message: phrase('The first line {0}', name) },
      };
    }),
    ...layout.unknown.map((row) => {
      const label = labelOfRow(rows[row]) as Label;
      const meant = meantLabel(dump, label);
      const found = at(row, 'line-unknown', unknownLine(dump, row, meant, names, nameOf));
      return meant === undefined ? found : { ...found, meant: labelText(meant) };
    }),
    ...layout.outOfOrder.map((row) =>
      at(
        row,
        'line-order',
        phrase('Line {0} is out of order here. Move it to its place, or correct its number.', lineCalled(dump, row)),
      ),
    ),
    ...missingLines(dump),
    ...dump.wrongLengths.map((row) => wrongLength(dump, row)),
  ];
}

/** The line that a label means whose numbers are not written in canonical form; undefined where it means none. */
function meantLabel({ profile: { geometry } }: Dump, label: Label): Label | undefined {
  if (typeof label !== 'string' || geometry?.kind !== 'lines') return undefined;
  const meant = readLineLabel(label);
  return meant !== undefined && dataBytes(geometry, meant) > 0 ? meant : undefined;
}

function unknownLine(
  dump: Dump,
  row: number,
  meant: Label | undefined,
  names: readonly string[],
  nameOf: (label: Label) => string,
): Phrase {
  const { geometry } = dump.profile;
  const name = lineCalled(dump, row);
  if (geometry?.kind !== 'lines') return phrase('The profile knows no line {0}.', name);
  const line = meant === undefined ? nearestName(name, names) : nameOf(meant);
  if (line !== undefined) return phrase('The profile knows no line {0}. Is {1} meant?', name, line);
  const [first, last] = [firstLabel(geometry), lastLabel(geometry)].map(nameOf);
  return phrase('The profile knows lines {0} to {1}, and no line {2}.', first ?? '', last ?? '', name);
}

/** More looks than these at how alike two names are take longer than a person waits. */
const MOST_LOOKS = 100_000;

/** Names of lines that are wanted and missing: what an unknown line may be meant to be called, unless there are too many of both. */
function namesWanted({ profile, layout }: Dump, nameOf: (label: Label) => string): readonly string[] {
  const words = profile.totals.flatMap(({ stored }) => (stored.kind === 'record' ? stored.label : []));
  const wanted = [...layout.missing, ...words];
  const looks = wanted.length * layout.unknown.length;
  return looks === 0 || looks > MOST_LOOKS ? [] : wanted.map(nameOf);
}

/** What does not fit together between the records of a memory image. */
export function imageProblems(dump: Dump): Problem[] {
  return dump.layout.imageProblems.map(({ code, row, message, written }) =>
    problem(code, labelSpanOf(dump, row), message, written === undefined ? {} : { written }),
  );
}

/** One problem for each run of missing labels, at the line after which they belong. */
function missingLines(dump: Dump): Problem[] {
  const { missing, order, keys, keyOf } = dump.layout;
  const { geometry } = dump.profile;
  if (geometry?.kind !== 'lines') return [];
  const nameOf = lineNamer(dump);
  const runs: { from: Label; to: Label; end: number }[] = [];
  for (const label of missing) {
    const last = runs.at(-1);
    const place = positionOf(geometry, label);
    if (last !== undefined && last.end === place) {
      last.to = label;
      last.end++;
    } else runs.push({ from: label, to: label, end: place + 1 });
  }
  return runs.map(({ from, to }) => {
    const place = keyOf(from) ?? 0;
    const after = keys.findIndex((key) => key > place);
    const row = order[after >= 0 ? after : order.length - 1] ?? 0;
    const message =
      from === to
        ? phrase('Line {0} is missing.', nameOf(from))
        : phrase('Lines {0} to {1} are missing.', nameOf(from), nameOf(to));
    return problem('line-missing', labelSpanOf(dump, row), message, { label: from });
  });
}

function wrongLength(dump: Dump, row: number): Problem {
  const { layout } = dump;
  const record = dump.rows[row] as RecordRow;
  const data = layout.dataCount[row] as number;
  const sum = layout.sumCountOf(row);
  const expected = data + sum;
  const message = phrase(
    'Line {0} has a length of {1}; the profile wants {2} bytes ({3} data, {4} sum).',
    lineCalled(dump, row),
    record.count,
    expected,
    data,
    sum,
  );
  // What is too much is marked alone; where bytes are missing, all that is there is.
  const from = record.count > expected ? expected : 0;
  const span = bytesSpan(dump, row, from, record.count - from) ?? labelSpanOf(dump, row);
  return problem('line-length', span, message, { label: record.label });
}

/** Headers that dump text gives no meaning, that have no value or one that cannot be, or that say two things. */
export function headerProblems(dump: Dump): Problem[] {
  const repeated = repeatedHeaders(dump).map((one) =>
    problem('header-repeated', { row: one.row, ...one.header.valueSpan }, whyRepeated(one)),
  );
  return [...repeated, ...headersOf(dump).flatMap(headerProblem)];
}

function headerProblem({ row, header }: PlacedHeader): Problem[] {
  const place = { row, ...header.nameSpan };
  if (isWrongWord(header)) {
    const meant = header.name === 'word' ? {} : { meant: '@word' };
    return [problem('header-word', place, whyWrongWord(header), meant)];
  }
  if (!(HEADER_NAMES as readonly string[]).includes(header.name)) {
    const near = nearHeader(header);
    const message =
      near === undefined
        ? phrase('"@{0}" has no meaning here; it is kept as it is.', header.name)
        : phrase('"@{0}" has no meaning here; "@{1}" is probably meant.', header.name, near);
    const found = problem('header-unknown', place, message, near === undefined ? {} : { meant: `@${near}` });
    // What protects a dump does not do so under another name: nothing is all right until this is clear.
    return [near !== undefined && isProtecting(near) ? { ...found, severity: 'warning' } : found];
  }
  if (header.name === 'taken' && header.value !== '' && readIsoTime(header.value) === undefined) {
    const message = phrase('"{0}" is no day and time. Write "@taken" as 2026-03-02T09:14:00Z.', header.value);
    return [problem('header-value', { row, ...header.valueSpan }, message)];
  }
  if (header.name === 'use' && header.value !== '' && useOf(header.value) === undefined) {
    const message = phrase(
      '"{0}" is nothing that "@use" says. Write one of {1}, or remove it.',
      header.value,
      USES.join(', '),
    );
    return [problem('header-value', { row, ...header.valueSpan }, message)];
  }
  if (header.value !== '' || header.name === 'note') return [];
  return [problem('header-empty', place, phrase('"@{0}" has no value.', header.name))];
}
