import {
  hex,
  hexBytes,
  listed,
  type Phrase,
  type PhrasePart,
  phrase,
  plain,
  tableRow,
} from '../../../shared-core/src/base/index.js';
import { sumInWords } from '../../../shared-core/src/checksum/index.js';
import type { RecordRow } from '../../../shared-core/src/format/index.js';
import {
  addressCell,
  addressOf,
  byteAt,
  byteOfCopy,
  type Cell,
  cellKey,
  cellSpan,
  copiesAt,
  type Dump,
  doesAgree,
  lineCalled,
  optionsAt,
  presentCells,
  readLineSum,
  readOption,
  readTotal,
  recordCalled,
  ruleOf,
  shownValue,
  slotAt,
  soundRecord,
  sumAsWritten,
} from '../../../shared-core/src/model/index.js';
import {
  axisValue,
  caution,
  certaintyOf,
  observationInWords,
  optionPlaceInWords,
  valuesOf,
} from '../../../shared-core/src/options/index.js';
import {
  evidenceInWords,
  type JsonSpan,
  type Option,
  sumName,
  writtenRanges,
} from '../../../shared-core/src/profile/index.js';
import { fileName } from '../../../shared-core/src/workspace/index.js';
import { cellAtCursor, spanOfTotal, totalAt } from '../cursor.js';
import { answer, type Feature } from '../feature.js';
import type { Hover, Position } from '../lsp.js';
import type { Analysis, Session } from '../session.js';
import { toRange } from '../toLsp.js';

/** What the byte under the pointer is: its value, its options, its place in the sums, what the backup holds. */
export const hover: Feature = {
  capabilities: () => ({ hoverProvider: true }),
  register: (connection, session) => {
    connection.onHover(({ textDocument, position }) =>
      answer(session, textDocument.uri, (explained) => hoverAt(session, explained, position), null),
    );
  },
};

function hoverAt(session: Session, explained: Analysis, position: Position): Hover | null {
  const { dump } = explained;
  const cell = cellAtCursor(dump, position);
  if (cell === undefined) return null;
  const said = wordsAt(explained, cell);
  const span = spanOfTotal(dump, totalAt(dump, cell)) ?? cellSpan(dump, cell);
  const markdown = session.client.capabilities.textDocument?.hover?.contentFormat?.includes('markdown') !== false;
  const text = said.map((part) => session.say(part)).join('\n\n');
  return {
    contents: markdown ? { kind: 'markdown', value: text } : { kind: 'plaintext', value: withoutMarks(text) },
    ...(span && { range: toRange(span) }),
  };
}

type Explained = Pick<Analysis, 'dump' | 'profileFile'>;

/** What a byte is, as paragraphs of Markdown. */
export function wordsAt(explained: Analysis, cell: Cell): readonly Phrase[] {
  const { dump } = explained;
  const record = dump.rows[cell.row];
  if (record?.kind !== 'record') return [];
  const own = totalOrSumLines(explained, cell) ?? [
    ...dataLines(explained, cell),
    ...backupLines(explained, cell),
    ...optionLines(explained, cell),
  ];
  return [...own, ...slotLines(dump, cell), ...copyLines(dump, cell)];
}

/** Which byte of a record that moves it is, and whether its slot is in force. */
function slotLines(dump: Dump, cell: Cell): Phrase[] {
  const found = slotAt(dump, cell);
  if (found === undefined) return [];
  const { slots, at, reading } = found;
  const where = phrase('Byte {0} of slot {1} of "{2}"', at, reading.slot + 1, plain(slots.name));
  if (slots.inForce === undefined) return [phrase('{0}. **Nobody can tell which slot is in force.**', where)];
  if (slots.inForce === reading.slot) return [phrase('{0}, record number {1}: **in force**.', where, reading.number)];
  const now = slots.inForce + 1;
  switch (reading.kind) {
    case 'torn':
      return [phrase('{0}: torn, as its check does not fit. Slot {1} is in force.', where, now)];
    case 'empty':
      return [phrase('{0}: no record. Slot {1} is in force.', where, now)];
    default:
      return [phrase('{0}, record number {1}: an older one. Slot {2} is in force.', where, reading.number, now)];
  }
}

/** Where else the byte is, and whether all places hold the same. */
function copyLines(dump: Dump, cell: Cell): Phrase[] {
  return copiesAt(dump, cell).flatMap(({ copies, copy, byte }) => {
    const others = copies.places.flatMap((_, other) => {
      const value = byte.cells[other] && byteAt(dump.rows, byte.cells[other]);
      const digits = value === undefined ? '–' : hex(value);
      return other === copy ? [] : [phrase('{0} (`{1}`)', escaped(byteOfCopy(dump, copies, other, byte.at)), digits)];
    });
    const where = copies.isInverted
      ? phrase('Copied in "{0}", with inverted bits: {1}.', plain(copies.name), listed(others))
      : phrase('Copied in "{0}": {1}.', plain(copies.name), listed(others));
    if (byte.values.includes(undefined)) return [where, phrase('**Not all copies can be read.**')];
    return doesAgree(byte)
      ? [where]
      : [where, phrase('**The copies do not agree.** What an option says here comes from its own place alone.')];
  });
}

/** The same as plain text. */
export function withoutMarks(markdown: string): string {
  return markdown.replace(/\\([^\p{L}\p{N}\s])|\*\*|`|^- /gmu, (_, escaped: string | undefined) => escaped ?? '');
}

function dataLines(explained: Explained, cell: Cell): Phrase[] {
  const { dump } = explained;
  const value = byteAt(dump.rows, cell) ?? 0;
  const binary = value.toString(2).padStart(8, '0');
  const marks = [
    ...regionMarks(explained, cell, dump.profile.locked, (why) =>
      phrase('**Locked** ({0}): no command changes it.', why),
    ),
    ...regionMarks(explained, cell, dump.profile.volatile, (why) =>
      phrase('**Changes by itself** in the module ({0}).', why),
    ),
    ...(holds(dump, dump.profile.balance, cell)
      ? [phrase('**Balance place**: may take up a difference of the file sum.')]
      : []),
  ];
  return [
    placeInWords(dump, cell),
    phrase('`{0}` hex · {1} decimal · `{2}` binary', hex(value), value, `${binary.slice(0, 4)} ${binary.slice(4)}`),
    ...marks,
  ];
}

/** Where a byte is: line and byte, of an image its address with the base of its record. */
function placeInWords(dump: Dump, cell: Cell): Phrase {
  const address = addressOf(dump.layout, cell);
  return address === undefined
    ? phrase('**Line {0}, byte {1}**', plain(lineCalled(dump, cell.row)), cell.byte + 1)
    : phrase('**Address {0}**', hex(address, 8));
}

function regionMarks(
  explained: Explained,
  cell: Cell,
  regions: Dump['profile']['locked'],
  mark: (why: string) => Phrase,
): Phrase[] {
  return regions
    .filter((region) => holds(explained.dump, [region], cell))
    .flatMap(({ why, source }) => [mark(plain(why ?? '–')), ...fileLines(explained, source)]);
}

/** In which file a thing is, where that is a profile that the one of the dump extends. */
function fileLines({ profileFile }: Explained, { file, over }: JsonSpan): Phrase[] {
  const here = file ?? profileFile;
  if (here === undefined || (file === undefined && over === undefined)) return [];
  const name = plain(fileName(here));
  return over?.file === undefined
    ? [phrase('From {0}.', name)]
    : [phrase('From {0}, changed in {1}.', plain(fileName(over.file)), name)];
}

function holds(dump: Dump, places: readonly Pick<Dump['profile']['balance'][number], 'place'>[], cell: Cell): boolean {
  return places.some(({ place }) => presentCells(dump.layout, place).some((other) => cellKey(other) === cellKey(cell)));
}

/** Where the backup holds the same byte: at its address, or in the line of its label. */
function cellInBackup({ layout }: Dump, backup: Dump, cell: Cell, { label }: RecordRow): Cell | undefined {
  const address = addressOf(layout, cell);
  if (address !== undefined) return addressCell(backup.layout, address);
  const row = backup.layout.rowOf(label);
  return row === undefined ? undefined : { row, byte: cell.byte };
}

function backupLines({ dump, backup }: Analysis, cell: Cell): Phrase[] {
  const record = dump.rows[cell.row];
  if (backup.kind !== 'read' || record?.kind !== 'record') return [];
  const there = cellInBackup(dump, backup.dump, cell, record);
  const was = there && byteAt(backup.dump.rows, there);
  if (was === undefined) return [phrase('The backup has no such byte.')];
  return [
    was === byteAt(dump.rows, cell) ? phrase('The same in the backup.') : phrase('In the backup: `{0}`', hex(was)),
  ];
}

function optionLines(explained: Explained, cell: Cell): Phrase[] {
  const { dump } = explained;
  return optionsAt(dump, cell).flatMap((option) => {
    const raw = readOption(dump, option)?.raw;
    if (raw === undefined) return phrase('**{0}**{1}: cannot be read.', plain(option.title), bitsInWords(dump, option));
    const choices = valuesOf(dump, option);
    return [
      phrase('**{0}**{1}: {2}', plain(option.title), bitsInWords(dump, option), valueInWords(option, raw)),
      ...(choices.length > 0
        ? [{ pattern: choices.map((_, i) => `{${i}}`).join('\n'), parts: choices.map(choiceLine) }]
        : []),
      ...[caution(option.hazards) ?? []].flat(),
      ...(option.confidence === undefined ? [] : [confidenceLine(option)]),
      ...seenLines(option),
      ...fileLines(explained, option.source),
      ...tableLines(dump, option),
    ];
  });

  function choiceLine(choice: { raw: bigint; words: string; current: boolean }): Phrase {
    return choice.current
      ? phrase('- `{0}` {1} ← now', hex(choice.raw, 1), plain(choice.words))
      : phrase('- `{0}` {1}', hex(choice.raw, 1), plain(choice.words));
  }
}

/** More entries of a table than these are not shown at once. */
const MOST_ENTRIES = 24;

/** The table that an option is in, one entry below the other: those around it where they are many. */
function tableLines(dump: Dump, { id, several }: Option): Phrase[] {
  if (several?.axis === undefined) return [];
  const all = dump.profile.options.filter((one) => one.several?.id === several.id);
  const first = Math.max(0, Math.min(several.number - MOST_ENTRIES / 2, all.length - MOST_ENTRIES));
  const rows = all.slice(first, first + MOST_ENTRIES).map((one) => {
    const raw = readOption(dump, one)?.raw;
    const value = raw === undefined ? '–' : valueInWords(one, raw);
    const at = plain(axisValue(one) ?? '');
    return one.id === id ? tableRow([phrase('**{0}**', at), phrase('**{0}**', value)]) : tableRow([at, value]);
  });
  const head = tableRow([plain(several.axis.name ?? ''), plain(several.title)]);
  const lines = [head, tableRow(['---', '---']), ...rows];
  return [{ pattern: lines.map((_, i) => `{${i}}`).join('\n'), parts: lines }];
}

/** A text of the profile is mere text; a date is one in any language. */
function valueInWords(option: Option, raw: bigint): PhrasePart {
  const shown = shownValue(option, raw);
  return typeof shown === 'string' ? plain(shown) : shown;
}

/** Of an option whose bits lie apart, all its places. */
function bitsInWords(dump: Dump, option: Option): Phrase {
  const [{ bits } = { bits: undefined }, ...others] = option.parts;
  if (others.length > 0) return phrase(' ({0})', escaped(optionPlaceInWords(option, dump)));
  if (bits === undefined) return phrase('');
  return bits.high === bits.low ? phrase(' (bit {0})', bits.low) : phrase(' (bits {0} to {1})', bits.high, bits.low);
}

function confidenceLine({ confidence, evidence }: Option): Phrase {
  const words = certaintyOf(confidence ?? 'guess');
  return evidence === undefined
    ? phrase('How sure: {0}.', words)
    : phrase('How sure: {0}. {1}', words, escaped(evidenceInWords(evidence)));
}

/** What goes in comes from a profile. */
function escaped({ pattern, parts }: Phrase): Phrase {
  const escapedPart = (part: PhrasePart) =>
    typeof part === 'object' ? escaped(part) : typeof part === 'string' ? plain(part) : part;
  return { pattern, parts: parts.map(escapedPart) };
}

/** More modules than these are not named at once. */
const MOST_SEEN = 8;

/** On which modules an option was seen, those that were told last first. */
function seenLines({ seen }: Option): readonly Phrase[] {
  const all = [...(seen?.observations ?? [])].reverse();
  if (all.length === 0) return [];
  const lines = all.slice(0, MOST_SEEN).map((one) => phrase('- {0}', observationInWords(one, plain)));
  const more = all.length > MOST_SEEN ? [phrase('- and {0} more', all.length - MOST_SEEN)] : [];
  const list = [...lines, ...more];
  return [phrase('Seen:'), { pattern: list.map((_, i) => `{${i}}`).join('\n'), parts: list }];
}

/** The same with the file in which a total is described. */
function totalOrSumLines(explained: Explained, cell: Cell): Phrase[] | undefined {
  const { dump } = explained;
  const total = dump.totals[totalAt(dump, cell)]?.total;
  const lines = sumLines(dump, cell);
  return lines && total ? [...lines, ...fileLines(explained, total.source)] : lines;
}

/** Of a line sum or a total: how it is made, what it covers, what is stored and what the bytes make. */
function sumLines(dump: Dump, cell: Cell): Phrase[] | undefined {
  const index = totalAt(dump, cell);
  if (index >= 0) return totalLines(dump, index);
  const record = soundRecord(dump.layout, dump.rows, cell.row);
  const rule = ruleOf(dump, cell.row);
  if (record === undefined || rule === undefined) return undefined;
  if (cell.byte < record.count - rule.width) return undefined;
  const { stored, computed } = readLineSum(rule, record);
  const sure = dump.profile.lineSum?.confidence;
  return [
    phrase('**Sum of line {0}** · {1}', plain(recordCalled(dump, cell.row, record)), sumInWords(rule.spec)),
    phrase('Covers {0}.', listed(rule.over.map((part) => partInWords(part, dump.profile.lineSum?.data)))),
    ...(sure === undefined ? [] : [phrase('How sure: {0}.', certaintyOf(sure))]),
    verdict(
      hexBytes(stored),
      hexBytes(computed),
      difference(BigInt(`0x${hexBytes(stored)}`), BigInt(`0x${hexBytes(computed)}`)),
    ),
  ];
}

function partInWords(
  part: NonNullable<Dump['rule']>['over'][number],
  ranges: NonNullable<Dump['profile']['lineSum']>['data'],
): Phrase {
  switch (part) {
    case 'module':
      return phrase('the module number');
    case 'label':
      return phrase('the line number');
    case 'length':
      return phrase('the number of data bytes');
    case 'data':
      return ranges === undefined ? phrase('the data bytes') : phrase('the data bytes {0}', writtenRanges(ranges));
    case 'address':
      return phrase('the address');
    case 'type':
      return phrase('the record type');
    default:
      return phrase('number {0} of the label', part.slice(-1));
  }
}

function totalLines(dump: Dump, index: number): Phrase[] {
  const bound = dump.totals[index] as Dump['totals'][number];
  const { total, run } = bound;
  const name = sumName(total);
  const head = phrase('**{0}** · {1}', typeof name === 'string' ? plain(name) : name, sumInWords(total.spec));
  const given = run.constants.flatMap(({ bytes }) => bytes);
  const covers = total.covers.kind !== 'addresses' && total.covers.sums;
  const what = covers
    ? phrase('Covers {0} bytes: data and line sums.', run.length - given.length)
    : phrase('Covers {0} data bytes.', run.length - given.length);
  const constants = given.length > 0 ? [phrase('Runs over given bytes too: `{0}`.', hexBytes(given, ' '))] : [];
  const kept = total.keep ? [phrase('Meant to stay as it is: a difference is balanced in another line.')] : [];
  const sure = total.confidence === undefined ? [] : [phrase('How sure: {0}.', certaintyOf(total.confidence))];
  return [head, what, ...constants, ...kept, ...sure, totalVerdict(bound, readTotal(dump, index))];
}

function totalVerdict(bound: Dump['totals'][number], reading: ReturnType<typeof readTotal>): Phrase {
  if (reading === undefined) return phrase('Cannot be checked: a line it covers is missing or cannot be read.');
  const { stored, computed } = reading;
  return verdict(sumAsWritten(bound, stored), sumAsWritten(bound, computed), difference(stored, computed));
}

function difference(stored: bigint, computed: bigint): string {
  const gap = computed - stored;
  return gap < 0n ? `−${hex(-gap)}` : `+${hex(gap)}`;
}

function verdict(stored: string, computed: string, gap: string): Phrase {
  return stored === computed
    ? phrase('Stored `{0}`, computed the same: right.', stored)
    : phrase('Stored `{0}`, computed `{1}`, difference `{2}`: **wrong**.', stored, computed, gap);
}
