import type { Position } from 'vscode-languageserver';
import {
  addEndRecord,
  addressOf,
  type ByteWrite,
  backupDump,
  balanceGroups,
  byteAt,
  byteAtColumn,
  bytesOf,
  type Cell,
  choicesOf,
  contentOf,
  type Dump,
  editsOf,
  firstThatCan,
  freeCells,
  hex,
  hexBytes,
  labelOfRow,
  listed,
  type Option,
  optionsAt,
  otherIdentity,
  type Phrase,
  type Problem,
  phrase,
  type RecordRow,
  type Repair,
  readOption,
  readTotal,
  rebalance,
  recordName,
  repairAll,
  restoreLine,
  restoreRecord,
  rewriteTotal,
  rightLineSum,
  rightRecordCount,
  rightSums,
  rowsThatCould,
  setOptions,
  type TextEdit,
  totalLine,
  wordsOrHex,
} from '../../../shared-core/src/index.js';
import type { Explained } from '../session.js';

/** Something that can be done about a problem, titled by what it does. */
export type Fix =
  | {
      readonly kind: 'edits';
      readonly title: Phrase;
      readonly edits: readonly TextEdit[];
      readonly preferred?: boolean;
    }
  | { readonly kind: 'command'; readonly title: Phrase; readonly command: string; readonly argument?: string }
  | { readonly kind: 'refused'; readonly title: Phrase; readonly why: Phrase };

/** The fixes for one problem, best first. `commands` says whether the client carries out the extension's own commands. */
export function fixesFor(explained: Explained, problem: Problem, commands: boolean): readonly Fix[] {
  const { dump } = explained;
  switch (problem.code) {
    case 'line-sum':
      return [lineSumFix(dump, problem.row)];
    case 'total-sum':
      return totalFixes(dump, problem, commands);
    case 'total-missing':
      return addTotal(dump, problem);
    case 'not-hex':
    case 'header-unknown':
    case 'vin-characters':
      return [...replaceFix(problem), ...restoreFix(explained, problem)];
    case 'line-repeated':
      return [emptyLine(dump, problem.row, phrase('Empty this second line {0}', problem.label ?? ''))];
    case 'end-repeated':
      return [emptyLine(dump, problem.row, phrase('Empty the line of this second end record'))];
    case 'end-missing':
      return [{ kind: 'edits', title: phrase('Add the end record'), edits: addEndRecord(dump) }];
    case 'text-unreadable':
      return [...readAsFix(problem, commands), ...ownLineFix(dump, problem), ...restoreFix(explained, problem)];
    case 'record-count':
      return [{ kind: 'edits', title: phrase('Right the count'), edits: rightRecordCount(dump, problem.row) }];
    case 'option-value':
    case 'option-range':
      return valueFixes(explained, problem);
    case 'option-needs':
      return needFixes(explained, problem);
    case 'no-profile':
      return commands && dump.rows.some(({ kind }) => kind !== 'blank')
        ? [{ kind: 'command', title: phrase('Learn how this dump sums'), command: 'countersum.learn' }]
        : [];
    default:
      return restoreFix(explained, problem);
  }
}

function lineSumFix(dump: Dump, row: number): Fix {
  const writes = rightLineSum(dump, row);
  const record = dump.rows[row] as RecordRow;
  const found = hexBytes(bytesOf(record, record.count - (dump.rule?.width ?? 1)));
  const title = phrase(
    'Right the sum of line {0}: {1} to {2}',
    recordName(record),
    found,
    hexBytes(writes.map(({ value }) => value)),
  );
  return { kind: 'edits', title, edits: editsOf(dump, writes), preferred: true };
}

function totalFixes(dump: Dump, problem: Problem, commands: boolean): readonly Fix[] {
  const index = dump.totals.findIndex(
    ({ stored }) =>
      stored?.some(({ row }) => row === problem.row) && stored[0] !== undefined && isAt(dump, stored[0], problem),
  );
  const reading = readTotal(dump, index);
  if (reading === undefined || reading.computed === reading.stored) return [];
  const { total, width } = reading.bound;
  const rewriteTitle = phrase(
    'Rewrite the {0}: {1} to {2}',
    total.name,
    hex(reading.stored, 2 * width),
    hex(reading.computed, 2 * width),
  );
  const rewrite: Fix = {
    kind: 'edits',
    title: rewriteTitle,
    edits: editsOf(dump, rewriteTotal(dump, index)),
    preferred: !total.keep,
  };
  const balanced = balanceFixes(dump, index);
  const other: Fix[] = commands
    ? [
        {
          kind: 'command',
          title:
            dump.layout.kind === 'image'
              ? phrase('Rebalance {0} using addresses…', total.name)
              : phrase('Rebalance {0} using another line…', total.name),
          command: 'countersum.rebalance',
        },
      ]
    : rowsThatCould(dump, [index], 4).flatMap((row) => rebalanceFix(dump, index, freeCells(dump, row), false));
  return total.keep ? [...balanced, ...other, rewrite] : [rewrite, ...balanced, ...other];
}

function isAt(dump: Dump, cell: Cell, problem: Problem): boolean {
  const record = dump.rows[cell.row];
  return record?.kind === 'record' && dump.notation.digitPlaces(record)[2 * cell.byte] === problem.start;
}

/** Rebalancing with the profile's own places; the first that can is the one to take. */
function balanceFixes(dump: Dump, index: number): readonly Fix[] {
  const groups = balanceGroups(dump);
  const fixes = groups.flatMap((cells) => rebalanceFix(dump, index, cells, false));
  const keep = dump.totals[index]?.total.keep === true;
  if (fixes.length > 0 || groups.length === 0) {
    return fixes.map((fix, i) => (fix.kind === 'edits' ? { ...fix, preferred: keep && i === 0 } : fix));
  }
  const repair = firstThatCan(dump, groups, [index]);
  if (repair.kind === 'writes') return rebalanceFix(dump, index, groups.flat(), keep);
  const labels = (rows: readonly number[]) => listed(rows.map((row) => labelOfRow(dump.rows[row]) ?? row + 1));
  if (dump.layout.kind === 'image') return [refusedBalance(dump, index, repair.why)];
  const alone = rowsThatCould(dump, [index], 5);
  const together = alone.length > 0 ? [] : rowsThatCould(dump, [index], 5, groups.flat());
  const why =
    alone.length > 0
      ? phrase('{0} Lines that could: {1}.', repair.why, labels(alone))
      : together.length > 0
        ? phrase('{0} Lines that could together with these places: {1}.', repair.why, labels(together))
        : repair.why;
  return [refusedBalance(dump, index, why)];
}

function refusedBalance({ totals }: Dump, index: number, why: Phrase): Fix {
  const name = totals[index]?.total.name ?? '';
  return { kind: 'refused', title: phrase('Rebalance {0} using the balance places', name), why };
}

/** Rebalancing with given bytes, titled by the bytes it changes; nothing where it cannot be done. */
export function rebalanceFix(dump: Dump, index: number, cells: readonly Cell[], preferred: boolean): readonly Fix[] {
  const repair = rebalance(dump, cells, [index]);
  // Where righted line sums are all it takes, no byte is balanced, and the line sums have fixes of their own.
  if (repair.kind === 'refused' || repair.writes.every(({ reason }) => reason !== 'balance')) return [];
  const title = phrase(
    'Rebalance {0} using {1}',
    dump.totals[index]?.total.name ?? '',
    linesInWords(dump, repair.writes),
  );
  return [{ kind: 'edits', title, edits: editsOf(dump, repair.writes), preferred }];
}

/** "line 17: byte 6 from 5C to 5A", for each line that takes up a difference; of an image, its addresses. */
function linesInWords(dump: Dump, writes: readonly ByteWrite[]): Phrase {
  const balancing = writes.filter(({ reason }) => reason === 'balance');
  if (dump.layout.kind === 'image') return balanceInWords(dump, balancing);
  const rows = [...new Set(balancing.map(({ row }) => row))];
  return listed(
    rows.map((row) =>
      phrase(
        'line {0}: {1}',
        labelOfRow(dump.rows[row]) ?? row + 1,
        balanceInWords(
          dump,
          balancing.filter((write) => write.row === row),
        ),
      ),
    ),
    '; ',
  );
}

/** "byte 6 from 5C to 5A", for each byte that takes up a difference. */
export function balanceInWords(dump: Dump, writes: readonly ByteWrite[]): Phrase {
  return listed(writes.filter(({ reason }) => reason === 'balance').map((write) => balancedByte(dump, write)));
}

function balancedByte({ rows, layout }: Dump, write: ByteWrite): Phrase {
  const [before, after] = [hex(byteAt(rows, write) ?? 0), hex(write.value)];
  const address = addressOf(layout, write);
  return address === undefined
    ? phrase('byte {0} from {1} to {2}', write.byte + 1, before, after)
    : phrase('address {0} from {1} to {2}', hex(address, 4), before, after);
}

function addTotal(dump: Dump, problem: Problem): readonly Fix[] {
  const index = dump.totals.findIndex(
    ({ total }) => total.stored.kind === 'record' && total.stored.label === problem.label,
  );
  const bound = dump.totals[index];
  const line = totalLine(dump, index);
  if (bound === undefined || line === undefined) return [];
  const end = contentOf(dump.rows[problem.row]?.text ?? '').length;
  const title = phrase('Add the {0}: "{1}"', bound.total.name, line.text);
  return [
    { kind: 'edits', title, edits: [{ row: problem.row, start: end, end, text: `\n${line.text}` }], preferred: true },
  ];
}

function replaceFix({ row, start, end, meant }: Problem): readonly Fix[] {
  if (meant === undefined) return [];
  return [
    {
      kind: 'edits',
      title: phrase('Write "{0}" here', meant),
      edits: [{ row, start, end, text: meant }],
      preferred: true,
    },
  ];
}

function restoreFix({ dump, backup }: Explained, { label, row }: Problem): readonly Fix[] {
  // What another car or software level holds there is no way back.
  if (backup.kind !== 'read' || otherIdentity(dump, backup.dump) !== undefined) return [];
  if (dump.layout.kind === 'image') {
    const record = restoreRecord(dump, backup.dump, row);
    return record.length === 0
      ? []
      : [{ kind: 'edits', title: phrase('Take this record from the backup'), edits: record }];
  }
  if (label === undefined) return [];
  const edits = restoreLine(dump, backup.dump, label);
  return edits.length === 0 ? [] : [{ kind: 'edits', title: phrase('Take line {0} from the backup', label), edits }];
}

/** Reading a file as what it is, under whatever name. */
function readAsFix({ written }: Problem, commands: boolean): readonly Fix[] {
  if (written === undefined || !commands) return [];
  const title = written === 'intel-hex' ? phrase('Read this file as Intel HEX') : phrase('Read this file as S-records');
  return [{ kind: 'command', title, command: 'countersum._readAs', argument: written }];
}

/** Text behind a record becomes a comment before it. */
function ownLineFix({ rows }: Dump, { row, start, end }: Problem): readonly Fix[] {
  const record = rows[row];
  if (record?.kind !== 'record') return [];
  const behind = record.text.slice(start, end).replace(/^[;#/\s]+/, '');
  const from = record.text.slice(0, start).trimEnd().length;
  const lineEnd = record.text.slice(contentOf(record.text).length) || '\n';
  const edits = [
    { row, start: 0, end: 0, text: `; ${behind}${lineEnd}` },
    { row, start: from, end, text: '' },
  ];
  return [{ kind: 'edits', title: phrase('Give this text a line of its own'), edits, preferred: true }];
}

function emptyLine(dump: Dump, row: number, title: Phrase): Fix {
  const last = row === dump.rows.length - 1;
  const text = dump.rows[row]?.text ?? '';
  const end = last ? text.length : contentOf(text).length;
  return { kind: 'edits', title, edits: [{ row, start: 0, end, text: '' }] };
}

function valueFixes(explained: Explained, problem: Problem): readonly Fix[] {
  const { dump } = explained;
  return optionsOf(dump, problem).flatMap((option) => choiceFixes(explained, option));
}

function needFixes(explained: Explained, problem: Problem): readonly Fix[] {
  const { dump } = explained;
  return optionsOf(dump, problem).flatMap((option) =>
    option.needs.flatMap((condition) => {
      const other = dump.profile.options.find(({ id }) => condition.profile === undefined && id === condition.option);
      const now = other && readOption(dump, other)?.raw;
      const [first] = condition.in;
      if (other === undefined || first === undefined || condition.in.some((value) => BigInt(value) === now)) return [];
      return [settingFix(explained, other, BigInt(first), wordsOrHex(other, BigInt(first)))];
    }),
  );
}

function optionsOf(dump: Dump, { row, start }: Problem): readonly Option[] {
  const record = dump.rows[row];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, start) : undefined;
  return byte === undefined ? [] : optionsAt(dump, { row, byte });
}

/** What the options at the cursor can be set to. */
export function optionFixes(explained: Explained, { line, character }: Position): readonly Fix[] {
  const { dump } = explained;
  const record = dump.rows[line];
  const byte = record?.kind === 'record' ? byteAtColumn(dump, record, character) : undefined;
  return byte === undefined
    ? []
    : optionsAt(dump, { row: line, byte }).flatMap((option) => choiceFixes(explained, option));
}

function choiceFixes(explained: Explained, option: Option): readonly Fix[] {
  return choicesOf(explained.dump, option)
    .filter(({ current }) => !current)
    .map(({ raw, words }) =>
      settingFix(explained, option, raw, option.meaning.kind === 'flags' ? wordsOrHex(option, raw) : words),
    );
}

function settingFix({ dump, backup }: Explained, option: Option, raw: bigint, words: string): Fix {
  const title = phrase('Set {0} to {1} (sums kept right)', option.title, words);
  const plan = { totals: 'keep', backup: backupDump(dump, backup) } as const;
  return fromRepair(dump, title, setOptions(dump, [{ option, raw }], plan));
}

/** Makes every sum right in one step, rebalancing included. */
export function repairEverything({ dump }: Explained): Fix | undefined {
  const repair = repairAll(dump, { totals: 'keep' });
  if (repair.kind === 'writes' && repair.writes.length === 0) return undefined;
  const title =
    repair.kind === 'writes'
      ? phrase('Make all sums right ({0} bytes change)', repair.writes.length)
      : phrase('Make all sums right');
  return fromRepair(dump, title, repair);
}

/** The repair that an editor may do at each save: no data byte is touched. */
export function rightSumsFix({ dump }: Explained): Fix | undefined {
  const writes = rightSums(dump);
  if (writes.length === 0) return undefined;
  return {
    kind: 'edits',
    title: phrase('Right line sums and rewrite file sums that are not kept'),
    edits: editsOf(dump, writes),
  };
}

function fromRepair(dump: Dump, title: Phrase, repair: Repair): Fix {
  if (repair.kind === 'refused') return { kind: 'refused', title, why: repair.why };
  return { kind: 'edits', title, edits: editsOf(dump, repair.writes) };
}
