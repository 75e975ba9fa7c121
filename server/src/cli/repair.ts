import {
  addressOf,
  type ByteWrite,
  backupDump,
  byteAt,
  certaintyInWords,
  type Dump,
  editsOf,
  hex,
  type LoadedDump,
  labelOfRow,
  labelText,
  nearestName,
  type Option,
  type Phrase,
  phrase,
  type Repaired,
  type RepairPlan,
  type Result,
  readAddressRange,
  readLabel,
  readOptionValueIn,
  readTotal,
  recordName,
  repairAll,
  type Setting,
  setOptions,
  textAfter,
} from '../../../shared-core/src/index.js';
import { type Call, type Outcome, onlyFile } from './command.js';
import { Failure } from './failure.js';
import { STDIN, writeWhole } from './files.js';
import { openFiles } from './load.js';
import { say } from './say.js';

/** Rights sums by the profile, or as the flags say. */
export async function fix(call: Call): Promise<Outcome> {
  const file = onlyFile(call.files);
  const loaded = await openFiles([file]).load(file, call.profile);
  const dump = explainedDump(loaded);
  const outcome = finish(call, loaded, repairAll(dump, planOf(call, dump)));
  const untold = call.lines ? [] : untoldTotals(dump);
  return untold.length === 0
    ? outcome
    : { ...outcome, status: 1, notes: [...(outcome.notes ?? []), ...untold.map((said) => say(said))] };
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

/** Sets options by their ids and rights the sums. */
export async function set(call: Call): Promise<Outcome> {
  const [file, ...assignments] = call.files;
  if (file === undefined || assignments.length === 0)
    throw new Failure(phrase('Use: countersum set FILE OPTION=VALUE …'));
  const loaded = await openFiles([file]).load(file, call.profile);
  const settings = assignments.map((text) => settingOf(loaded.dump, text));
  const twice = settings.find(({ option }, at) => settings.findIndex((one) => one.option === option) < at);
  if (twice !== undefined) throw new Failure(phrase('{0} is to be set twice. Give it one value.', twice.option.title));
  const dump = explainedDump(loaded);
  const plan = { ...planOf(call, dump), backup: backupDump(dump, loaded.backup) };
  return finish(call, loaded, setOptions(dump, settings, plan));
}

function explainedDump({ dump, profile, name: file }: LoadedDump): Dump {
  // The sums of records are the notation's own.
  if (profile.kind === 'none' && dump.layout.kind !== 'image')
    throw new Failure(phrase('{0}: no profile explains this dump. Give one with --profile FILE.', file));
  if (profile.kind === 'unreadable') throw new Failure(profile.why);
  return dump;
}

function planOf({ balance, retotal, lines }: Call, dump: Dump): RepairPlan {
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
  if (!value.ok) throw new Failure(value.why);
  return { option, raw: value.value };
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

function finish({ write, out }: Call, loaded: LoadedDump, repair: Result<Repaired>): Outcome {
  const { name: file, dump } = loaded;
  if (!repair.ok) throw new Failure(phrase('{0}: {1} Nothing was changed.', file, repair.why));
  const { writes, unique, fewest } = repair.value;
  const edits = editsOf(dump, writes);
  const text = textAfter(dump.rows, edits);
  const target = out ?? (write ? file : undefined);
  if (target === STDIN) throw new Failure(phrase('Standard input cannot be written to. Give --out FILE.'));
  if (target !== undefined && (edits.length > 0 || out !== undefined)) writeWhole(target, text);
  const changes = writes.map((change) => inWords(dump, change));
  const done =
    changes.length === 0 ? say(phrase('{0}: all sums are right, nothing to change', file)) : changes.join('\n');
  const balances = writes.some(({ reason }) => reason === 'balance');
  const { profile } = loaded;
  return {
    status: 0,
    text: target === undefined ? text : done,
    notes: [
      ...(profile.kind === 'read' && profile.wrong !== undefined
        ? [
            say(
              phrase(
                'The profile has problems ({0}); what it says there is left out. First: {1}',
                profile.problems,
                profile.wrong,
              ),
            ),
          ]
        : []),
      ...(balances ? [say(phrase('{0}: {1}', file, certaintyInWords(repair.value)))] : []),
    ],
    json: {
      file,
      ...(target === undefined ? { text } : {}),
      ...(balances ? { unique, fewest } : {}),
      edits: writes.map((change) => writeToJson(dump, change)),
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

function inWords(dump: Dump, change: ByteWrite): string {
  const [before, after] = [hex(byteAt(dump.rows, change) ?? 0), hex(change.value)];
  const address = addressOf(dump.layout, change);
  if (address !== undefined && change.reason !== 'line-sum')
    return say(phrase('address {0}: {1} → {2} ({3})', hex(address, 4), before, after, change.reason));
  const record = dump.rows[change.row];
  const label = record?.kind === 'record' ? recordName(record) : '';
  return say(phrase('line {0}, byte {1}: {2} → {3} ({4})', label, change.byte + 1, before, after, change.reason));
}
