import { hex, listed, oneLine, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import {
  addressOf,
  type Dump,
  headersOf,
  headerValue,
  type Layout,
  lineCalled,
  type OptionReading,
  optionSpan,
  readOption,
  shownValue,
  storedValue,
  sumAsWritten,
} from '../../../shared-core/src/model/index.js';
import { sumName } from '../../../shared-core/src/profile/index.js';
import { fileName } from '../../../shared-core/src/workspace/index.js';
import { spanOfTotal } from '../cursor.js';
import { rowsInDocument } from '../documents.js';
import { answer, type Feature } from '../feature.js';
import { type DocumentSymbol, type Range, type SymbolInformation, SymbolKind } from '../lsp.js';
import { regionsInRuns } from '../sections.js';
import type { Session } from '../session.js';
import { toRange } from '../toLsp.js';
import { rowsRange } from './selectionRanges.js';

/** The module, its headers, its lines with the options they hold, and its file sums; of an image its contiguous stretches. */
export const outline: Feature = {
  capabilities: () => ({ documentSymbolProvider: { label: 'Countersum' } }),
  register: (connection, session) => {
    connection.onDocumentSymbol(({ textDocument: { uri } }) =>
      answer(
        session,
        uri,
        ({ dump }) => {
          const symbols = outlineOf(session, uri, dump);
          const { documentSymbol } = session.client.capabilities.textDocument ?? {};
          return documentSymbol?.hierarchicalDocumentSymbolSupport === true ? symbols : flat(uri, symbols);
        },
        null,
      ),
    );
  },
};

/** More lines than these are shown in groups, and of their lines only those that hold options. */
const MOST_LINES = 200;
const MOST_GROUPS = 100;

export function outlineOf(session: Session, uri: string, dump: Dump): DocumentSymbol[] {
  const { profile } = dump;
  const count = rowsInDocument(dump, session.documents.get(uri));
  const whole = rowsRange(dump, 0, count - 1);
  const number = profile.module === undefined ? '' : `0x${hex(profile.module, 4)}`;
  const module = {
    // A symbol without a name is refused by editors.
    name: oneLine(profile.title || headerValue(dump, 'module') || fileName(uri)),
    detail: oneLine([number, headerValue(dump, 'vehicle') ?? ''].filter((text) => text !== '').join(' · ')),
    kind: SymbolKind.Module,
    range: whole,
    selectionRange: { start: whole.start, end: whole.start },
  };
  const inside = dump.layout.kind === 'image' ? stretches(session, dump) : linesOf(session, dump);
  return [{ ...module, children: [...headerGroup(session, dump, count), ...inside, ...totalsOf(session, dump)] }];
}

function headerGroup(session: Session, dump: Dump, count: number): DocumentSymbol[] {
  const headers = headersOf(dump).filter(({ row }) => row < count);
  const [first, last] = [headers[0], headers.at(-1)];
  if (first === undefined || last === undefined) return [];
  const children = headers.slice(0, MOST_LINES).map(({ row, header }) => ({
    name: header.name === '' ? '@' : header.name,
    detail: oneLine(header.value),
    kind: SymbolKind.Property,
    range: rowsRange(dump, row, row),
    selectionRange: toRange({ row, ...header.nameSpan }),
  }));
  const range = rowsRange(dump, first.row, last.row);
  const selectionRange = children[0]?.selectionRange ?? range;
  return [{ name: session.say(phrase('Headers')), kind: SymbolKind.Namespace, range, selectionRange, children }];
}

function linesOf(session: Session, dump: Dump): DocumentSymbol[] {
  const { order } = dump.layout;
  const rows = Array.from(order).sort((a, b) => a - b);
  const options = optionsByRow(dump);
  if (rows.length <= MOST_LINES) return rows.map((row) => line(session, dump, row, options.get(row) ?? []));
  const each = roundUp(rows.length / MOST_GROUPS);
  const groups: DocumentSymbol[] = [];
  for (let i = 0; i < rows.length; i += each) {
    const some = rows.slice(i, i + each);
    const [first, last] = [some[0] as number, some.at(-1) as number];
    const [from, to] = [lineCalled(dump, first), lineCalled(dump, last)];
    const held = some.filter((row) => options.has(row));
    groups.push({
      name: session.say(phrase('Lines {0} to {1}', from, to)),
      kind: SymbolKind.Array,
      range: rowsRange(dump, first, last),
      selectionRange: rowsRange(dump, first, first),
      children: held.map((row) => line(session, dump, row, options.get(row) ?? [])),
    });
  }
  return groups;
}

/** The next number of the kind 10, 20, 50, 100, so that groups begin where people expect it. */
function roundUp(count: number): number {
  const power = 10 ** Math.floor(Math.log10(count));
  return power * ([1, 2, 5, 10].find((factor) => factor * power >= count) ?? 10);
}

function line(session: Session, dump: Dump, row: number, options: readonly OptionReading[]): DocumentSymbol {
  return {
    name: session.say(phrase('Line {0}', lineCalled(dump, row))),
    detail: session.say(listed(options.map(inWords), ' · ')),
    kind: SymbolKind.Struct,
    range: rowsRange(dump, row, row),
    selectionRange: rowsRange(dump, row, row),
    children: options.flatMap((reading) => optionSymbol(session, dump, reading)),
  };
}

function inWords({ option, raw }: OptionReading): Phrase {
  return phrase('{0}: {1}', option.title, shownValue(option, raw));
}

function optionSymbol(session: Session, dump: Dump, reading: OptionReading): DocumentSymbol[] {
  const span = optionSpan(dump, reading);
  if (span === undefined) return [];
  const { option, raw } = reading;
  const range = toRange(span);
  return [
    {
      name: oneLine(option.title || option.id),
      detail: session.say(phrase('{0}', shownValue(option, raw))),
      kind: SymbolKind.EnumMember,
      range,
      selectionRange: range,
    },
  ];
}

/** What the dump holds for its options, by the row in which each begins. */
function optionsByRow(dump: Dump): ReadonlyMap<number, readonly OptionReading[]> {
  const found = new Map<number, OptionReading[]>();
  for (const option of dump.profile.options) {
    const reading = readOption(dump, option);
    const row = reading?.cells[0]?.row;
    if (reading === undefined || row === undefined) continue;
    const before = found.get(row);
    if (before === undefined) found.set(row, [reading]);
    else before.push(reading);
  }
  return found;
}

/** Stretches of an image without a gap, each with its addresses, its size and its options. */
function stretches(session: Session, dump: Dump): DocumentSymbol[] {
  const readings = [...optionsByRow(dump).values()].flat();
  return regionsInRuns(dump.layout, MOST_GROUPS).flatMap((run) => {
    const [first, last] = [run[0], run.at(-1)];
    if (first === undefined || last === undefined) return [];
    const end = last.address + last.size - 1;
    const bytes = run.reduce((sum, { size }) => sum + size, 0);
    const firstRow = Math.min(...run.map((region) => region.firstRow));
    const lastRow = Math.max(...run.map((region) => region.lastRow));
    const inside = readings.filter(({ cells }) => isWithin(dump.layout, cells[0], first.address, end));
    return {
      name: session.say(phrase('{0} to {1}', hex(first.address, 8), hex(end, 8))),
      detail: session.say(
        run.length === 1 ? phrase('{0} bytes', bytes) : phrase('{0} bytes in {1} parts', bytes, run.length),
      ),
      kind: SymbolKind.Array,
      range: rowsRange(dump, firstRow, lastRow),
      selectionRange: rowsRange(dump, firstRow, firstRow),
      children: inside.flatMap((reading) => optionSymbol(session, dump, reading)),
    };
  });
}

function isWithin(layout: Layout, cell: OptionReading['cells'][number] | undefined, from: number, to: number): boolean {
  const address = cell && addressOf(layout, cell);
  return address !== undefined && address >= from && address <= to;
}

function totalsOf(session: Session, dump: Dump): DocumentSymbol[] {
  return dump.totals.flatMap((bound, index) => {
    const span = spanOfTotal(dump, index);
    if (span === undefined) return [];
    const stored = storedValue(bound, dump.rows);
    const name = oneLine(session.say(phrase('{0}', sumName(bound.total)))) || session.say(phrase('File sum'));
    const detail = stored === undefined ? '' : sumAsWritten(bound, stored);
    return [{ name, detail, kind: SymbolKind.Constant, range: toRange(span), selectionRange: toRange(span) }];
  });
}

/** The same without levels, for clients that know none. */
function flat(uri: string, symbols: readonly DocumentSymbol[], containerName?: string): SymbolInformation[] {
  return symbols.flatMap(({ name, detail, kind, range, children }) => [
    { name: nameWith(name, detail), kind, location: locationOf(range), ...(containerName && { containerName }) },
    ...flat(uri, children ?? [], name),
  ]);

  function locationOf(range: Range) {
    return { uri, range };
  }
}

function nameWith(name: string, detail: string | undefined): string {
  return detail === undefined || detail === '' ? name : `${name}: ${detail}`;
}
