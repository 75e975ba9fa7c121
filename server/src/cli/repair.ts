import {
  type Change,
  type Consent,
  fixInSteps,
  type OptionWish,
  placeToBalance,
  type SumsPlan,
  setOptionsInSteps,
} from '../../../shared-core/src/actions/index.js';
import {
  type Ask,
  hex,
  listed,
  type Phrase,
  phrase,
  type Refused,
  type Result,
  refuse,
} from '../../../shared-core/src/base/index.js';
import { allSumsRight, checkDump, copiesApart, type LoadedDump } from '../../../shared-core/src/checks/index.js';
import { reasonInWords } from '../../../shared-core/src/compare/index.js';
import { labelText, textAfter, textOfRows } from '../../../shared-core/src/format/index.js';
import {
  addressOf,
  type ByteWrite,
  byteAt,
  type Dump,
  headerValue,
  labelOfRow,
  recordCalled,
} from '../../../shared-core/src/model/index.js';
import { certaintyInWords } from '../../../shared-core/src/repair/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Document, type Outcome } from './command.js';
import { must } from './load.js';
import { DESPITE, FROM, flag, OUT, PROFILE, PROFILES, text, UNCONFIRMED, type ValuesOf, WRITE } from './options.js';
import { finishShown } from './progress.js';
import { say } from './say.js';

/** How the file sums are made right. */
const SUMS = {
  balance: text('N', phrase('balance with line N, of an image with addresses such as 1F0..1FF')),
  retotal: flag(phrase('rewrite the file sums')),
  lines: flag(phrase('line sums only')),
};

const FIX_OPTIONS = { ...SUMS, ...WRITE, ...OUT, ...FROM, ...PROFILE, ...PROFILES, ...UNCONFIRMED };
const SET_OPTIONS = { ...FIX_OPTIONS, ...DESPITE };

const EXCLUSIVE = [
  ['balance', 'retotal', 'lines'],
  ['write', 'out'],
  ['profile', 'profiles'],
] as const;

/** Corrects sums by the profile, or as the flags say. */
export const fix = command({
  name: 'fix',
  arguments: 'FILE',
  does: phrase('correct line sums, then file sums as the profile says'),
  options: FIX_OPTIONS,
  exclusive: EXCLUSIVE,
  run: fixFile,
});

/** Sets options by their ids and corrects the sums. */
export const set = command({
  name: 'set',
  arguments: 'FILE OPTION=VALUE…',
  does: phrase('set options (words or number), then repair as fix does'),
  options: SET_OPTIONS,
  places: ([file = '']) => [file],
  exclusive: EXCLUSIVE,
  run: setInFile,
});

async function fixFile(call: Call<typeof FIX_OPTIONS>): Promise<Outcome> {
  const [name = ''] = call.files;
  const loaded = await call.disk.loadWithDependents(name, call.profile);
  return outcomeOf(call, loaded, finishShown(fixInSteps(loaded, planOf(call, loaded.dump), consentOf(call))));
}

async function setInFile(call: Call<typeof SET_OPTIONS>): Promise<Outcome> {
  const [name = '', ...assignments] = call.files;
  const loaded = await call.disk.loadWithDependents(name, call.profile);
  const wishes = assignments.map(wishOf);
  const steps = setOptionsInSteps(loaded, wishes, consentOf(call), planOf(call, loaded.dump));
  return outcomeOf(call, loaded, finishShown(steps));
}

function wishOf(text: string): OptionWish {
  const [, id = '', written] = /^([^=]+)=(.*)$/s.exec(text) ?? [];
  if (written === undefined) throw new Failure(phrase('"{0}" has no value: OPTION=VALUE is wanted.', text));
  return { id, to: { written } };
}

function planOf({ balance, retotal, lines }: ValuesOf<typeof SUMS>, dump: Dump): SumsPlan {
  if (lines) return { totals: 'none' };
  if (retotal) return { totals: 'rewrite' };
  return balance === undefined ? { totals: 'keep' } : { totals: 'keep', using: must(placeToBalance(dump, balance)) };
}

/** What the person accepts, and whether the result goes to another file than the dump itself. */
export function consentOf({
  unconfirmed,
  despite,
  write,
}: {
  readonly unconfirmed: boolean;
  readonly despite?: readonly string[];
  readonly write: boolean;
}): Consent {
  return { unconfirmed, despite, isTyped: true, elsewhere: !write };
}

/** Why nothing was changed, and by which option of the command the person may accept it. */
export function refusal(name: string, { why, asks }: Refused): Phrase {
  return phrase('{0}: {1} Nothing was changed.', name, withHint(why, asks));
}

export function withHint(why: Phrase, asks: Ask | undefined): Phrase {
  switch (asks?.kind) {
    case undefined:
      return why;
    case 'unconfirmed':
      return phrase('{0} To confirm it: --unconfirmed.', why);
    case 'despite':
      return phrase(
        '{0} To accept it: {1}.',
        why,
        listed(
          asks.options.map((id) => `--despite ${id}`),
          ' ',
        ),
      );
  }
}

/** The dump as it is after a change. */
export function documentOf({ name, dump }: LoadedDump, { edits }: Pick<Change, 'edits'>): Document {
  return {
    content: textAfter(dump.rows, edits),
    form: dump.notation.id,
    of: { file: name, before: textOfRows(dump.rows) },
    inJson: true,
  };
}

function outcomeOf(
  { files: [name = ''], write }: Pick<Call<typeof FIX_OPTIONS>, 'files' | 'write'>,
  loaded: LoadedDump,
  result: Result<Change>,
): Outcome {
  if (!result.ok) throw new Failure(refusal(name, result));
  const { dump } = loaded;
  const { writes, cautions, balanced, sums } = result.value;
  const reading = writes.length > 0 ? readingChanged(dump) : undefined;
  if (write && reading !== undefined) throw new Failure(refusal(name, refuse(reading)));
  const { left, unchecked } = sums;
  const changes = writes.map((change) => inWords(dump, change));
  const certainty = balanced === undefined ? [] : [certaintyInWords(balanced)];
  const guarded = guardedIn({ ...loaded, dump: result.value.after });
  const copies = copiesApart(result.value.after);
  return {
    status: left.length + guarded.length + copies.length > 0 ? 1 : 0,
    says: changes.length === 0 ? [nothingToChange(name, sums, copies)] : changes,
    document: documentOf(loaded, result.value),
    cautions: reading === undefined ? cautions : [phrase('{0}: {1}', name, reading), ...cautions],
    notes: [...guarded, ...copies, ...certainty, ...left, ...unchecked].map((said) => phrase('{0}: {1}', name, said)),
    json: {
      file: name,
      ...(balanced && { unique: balanced.unique, fewest: balanced.fewest }),
      guarded: guarded.map((said) => say(said)),
      copies: copies.map((said) => say(said)),
      left: left.map((said) => say(said)),
      unchecked: unchecked.map((said) => say(said)),
      edits: writes.map((change) => writeToJson(dump, change)),
    },
  };
}

/** Why a dump that was read from a module, and is not in work, is not written over: it may be the proof of what was written. */
function readingChanged(dump: Dump): Phrase | undefined {
  if (headerValue(dump, 'taken') === undefined || headerValue(dump, 'backup') !== undefined) return undefined;
  return phrase(
    'It is a reading ("@taken", and no "@backup"), which changed would no longer show what was read: write to another file with --out, which leaves "@taken" out.',
  );
}

/** Locked and security bytes of a dump that are not as in its backup: right sums do not make it good. */
function guardedIn(loaded: LoadedDump): readonly Phrase[] {
  return checkDump(loaded).flatMap(({ code, message }) =>
    code === 'locked-changed' || code === 'security-changed' ? message : [],
  );
}

function nothingToChange(name: string, sums: Change['sums'], copies: readonly Phrase[]): Phrase {
  if (allSumsRight(sums))
    return copies.length > 0
      ? phrase('{0}: nothing to change in the sums, and yet copies disagree', name)
      : phrase('{0}: all sums are right, nothing to change', name);
  return phrase('{0}: nothing to change, and yet not all sums are known to be right', name);
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

/** A changed byte, as a comparison says it. */
function inWords(dump: Dump, change: ByteWrite): Phrase {
  const reason = reasonInWords(change.reason);
  const [before, after] = [hex(byteAt(dump.rows, change) ?? 0), hex(change.value)];
  const address = addressOf(dump.layout, change);
  if (address !== undefined && change.reason !== 'line-sum')
    return phrase('Address {0}: {1} → {2} ({3})', hex(address, 4), before, after, reason);
  const record = dump.rows[change.row];
  const label = record?.kind === 'record' ? recordCalled(dump, change.row, record) : '';
  return dump.layout.kind === 'image'
    ? phrase('Record at {0}: {1} → {2} ({3})', label, before, after, reason)
    : phrase('Line {0}, byte {1}: {2} → {3} ({4})', label, change.byte + 1, before, after, reason);
}
