import {
  addressOf,
  type ByteWrite,
  backupDump,
  byteAt,
  certaintyInWords,
  type Dump,
  editsOf,
  hex,
  labelOfRow,
  labelText,
  nearestName,
  type Option,
  type Phrase,
  phrase,
  type Repair,
  type RepairPlan,
  readAddressRange,
  readLabel,
  readOptionValueIn,
  readTotal,
  recordName,
  repairAll,
  type Setting,
  setOptions,
  textAfter,
  textOfRows,
} from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome } from './command.js';
import { Failure } from './failure.js';
import { type Loaded, load } from './load.js';
import { DESPITE, flag, OUT, PROFILE, text, UNCONFIRMED, type ValuesOf, WRITE } from './options.js';

/** How the file sums are made right. */
const SUMS = {
  balance: text('N', phrase('balance with line N, of an image with addresses such as 1F0..1FF')),
  retotal: flag(phrase('rewrite the file sums')),
  lines: flag(phrase('line sums only')),
};

const FIX_OPTIONS = { ...SUMS, ...WRITE, ...OUT, ...PROFILE, ...UNCONFIRMED };
const SET_OPTIONS = { ...FIX_OPTIONS, ...DESPITE };

const EXCLUSIVE = [
  ['balance', 'retotal', 'lines'],
  ['write', 'out'],
] as const;

/** Rights sums by the profile, or as the flags say. */
export const fix = command({
  name: 'fix',
  arguments: 'FILE',
  does: phrase('right line sums, then file sums as the profile says'),
  options: FIX_OPTIONS,
  exclusive: EXCLUSIVE,
  run: fixFile,
});

/** Sets options by their ids and rights the sums. */
export const set = command({
  name: 'set',
  arguments: 'FILE OPTION=VALUE…',
  does: phrase('set options (words or number), then repair as fix does'),
  options: SET_OPTIONS,
  exclusive: EXCLUSIVE,
  run: setInFile,
});

function fixFile(call: Call<typeof FIX_OPTIONS>): Outcome {
  const [file = ''] = call.files;
  const loaded = load(call.disk, file, call.profile);
  const dump = explainedDump(loaded);
  const outcome = finish(loaded, repairAll(dump, planOf(call, dump)));
  const untold = call.lines ? [] : untoldTotals(dump);
  return untold.length === 0 ? outcome : { ...outcome, status: 1, notes: [...(outcome.notes ?? []), ...untold] };
}

/** What could not be put right, because nobody can tell what it should be. */
function untoldTotals(dump: Dump): readonly Phrase[] {
  return dump.totals.flatMap(({ total }, index) =>
    readTotal(dump, index) === undefined
      ? phrase(
          'The {0} was left as it is: its place or a line it covers is missing, stands twice or cannot be read.',
          total.name,
        )
      : [],
  );
}

function setInFile(call: Call<typeof SET_OPTIONS>): Outcome {
  const [file = '', ...assignments] = call.files;
  const loaded = load(call.disk, file, call.profile);
  const settings = assignments.map((text) => settingOf(loaded.dump, text));
  const twice = settings.find(({ option }, at) => settings.findIndex((one) => one.option === option) < at);
  if (twice !== undefined) throw new Failure(phrase('{0} is to be set twice. Give it one value.', twice.option.title));
  const dump = explainedDump(loaded);
  const plan = { ...planOf(call, dump), backup: backupDump(dump, loaded.backup) };
  return finish(loaded, setOptions(dump, settings, plan));
}

function explainedDump({ dump, profile, file }: Loaded): Dump {
  // The sums of records are the notation's own.
  if (profile.kind === 'none' && dump.layout.kind !== 'image')
    throw new Failure(phrase('{0}: no profile explains this dump. Give one with --profile FILE.', file));
  if (profile.kind === 'unreadable') throw new Failure(profile.why);
  return dump;
}

function planOf({ balance, retotal, lines }: ValuesOf<typeof SUMS>, dump: Dump): RepairPlan {
  if (lines) return { totals: 'none' };
  if (retotal) return { totals: 'rewrite' };
  if (balance === undefined) return { totals: 'keep' };
  return { totals: 'keep', using: placeToBalance(balance, dump) };
}

/** A line, or addresses of a memory image such as 1F0..1FF. */
function placeToBalance(balance: string, dump: Dump): NonNullable<RepairPlan['using']> {
  if (dump.layout.kind === 'image') {
    const range = readAddressRange(balance);
    if (range === undefined)
      throw new Failure(phrase('"--balance" wants addresses in hex: 1F0 for one, 1F0..1FF for a range.'));
    return range;
  }
  const row = dump.layout.rowOf(readLabel(balance));
  if (row === undefined || !dump.layout.dataCount[row])
    throw new Failure(phrase('There is no line {0} to balance with.', balance));
  return { row };
}

function settingOf(dump: Dump, text: string): Setting {
  const { options } = dump.profile;
  const [, id = '', written] = /^([^=]+)=(.*)$/.exec(text) ?? [];
  if (written === undefined) throw new Failure(phrase('"{0}" lacks its value: OPTION=VALUE is wanted.', text));
  const option = options.find((known) => known.id === id);
  if (option === undefined) throw new Failure(unknownOption(id || text, options));
  const value = readOptionValueIn(dump, option, written);
  if ('why' in value) throw new Failure(value.why);
  return { option, raw: value.raw };
}

function unknownOption(id: string, options: readonly Option[]) {
  const near = nearestName(
    id,
    options.map((option) => option.id),
  );
  return near === undefined
    ? phrase('The profile has no option "{0}". It has: {1}.', id, options.map((option) => option.id).join(', '))
    : phrase('The profile has no option "{0}"; is "{1}" meant?', id, near);
}

function finish(loaded: Loaded, repair: Repair): Outcome {
  const { file, dump } = loaded;
  if (repair.kind === 'refused') throw new Failure(phrase('{0}: {1} Nothing was changed.', file, repair.why));
  const changes = repair.writes.map((change) => inWords(dump, change));
  const balances = repair.writes.some(({ reason }) => reason === 'balance');
  const { profile } = loaded;
  return {
    status: 0,
    says: changes.length === 0 ? [phrase('{0}: all sums are right, nothing to change', file)] : changes,
    document: {
      content: textAfter(dump.rows, editsOf(dump, repair.writes)),
      form: dump.notation.id,
      of: { file, before: textOfRows(dump.rows) },
      inJson: true,
    },
    notes: [
      ...(profile.kind === 'read' && profile.wrong !== undefined
        ? [
            phrase(
              'The profile has problems ({0}); what it says there is left out. First: {1}',
              profile.problems,
              profile.wrong,
            ),
          ]
        : []),
      ...(balances ? [phrase('{0}: balanced; {1}', file, certaintyInWords(repair))] : []),
    ],
    json: {
      file,
      ...(balances ? { unique: repair.unique, fewest: repair.fewest } : {}),
      edits: repair.writes.map((change) => writeToJson(dump, change)),
    },
  };
}

/** A changed byte, for scripts. */
export function writeToJson(dump: Dump, change: ByteWrite): object {
  const label = labelText(labelOfRow(dump.rows[change.row]) ?? '');
  return {
    label,
    byte: change.byte + 1,
    ...addressToJson(dump, change),
    before: hex(byteAt(dump.rows, change) ?? 0),
    after: hex(change.value),
    reason: change.reason,
  };
}

function addressToJson({ layout }: Dump, change: ByteWrite): object {
  const address = change.reason === 'line-sum' ? undefined : addressOf(layout, change);
  return address === undefined ? {} : { address: hex(address, 4) };
}

function inWords(dump: Dump, change: ByteWrite): Phrase {
  const [before, after] = [hex(byteAt(dump.rows, change) ?? 0), hex(change.value)];
  const address = addressOf(dump.layout, change);
  if (address !== undefined && change.reason !== 'line-sum')
    return phrase('address {0}: {1} → {2} ({3})', hex(address, 4), before, after, change.reason);
  const record = dump.rows[change.row];
  const label = record?.kind === 'record' ? recordName(record) : '';
  return phrase('line {0}, byte {1}: {2} → {3} ({4})', label, change.byte + 1, before, after, change.reason);
}
