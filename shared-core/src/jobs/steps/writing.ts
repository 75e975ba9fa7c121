import { listed, type Phrase, phrase, sentences } from '../../base/phrase.js';
import { textOfRows } from '../../format/rows.js';
import type { Dump } from '../../model/dump.js';
import { sha256OfText } from '../../model/seal.js';
import { isReadBadly, whyReadAgain } from '../card/cautions.js';
import { moduleTitle } from '../moduleTitle.js';
import type { Written } from '../record/changes.js';
import { openInRecord, openMatters } from '../record/vehicleRecord.js';
import type { Others } from '../verify/anotherCar.js';
import { verdictInWords } from '../verify/inWords.js';
import { newlySeen } from '../verify/seenInCar.js';
import { verifyReadBack } from '../verify/verify.js';
import { notSaved } from './asFound.js';
import type { JobInput } from './input.js';
import type { JobDump, Module, Proof, Work } from './module.js';
import { toSave } from './readBack.js';
import { done, type Finding, open, type StepAction } from './step.js';
import { folderOf, nameIn, toSettle } from './work.js';

/** Nothing is proved beside files that cannot be read; the first of them is opened. */
function notRead(unread: JobInput['unread']): Finding {
  const file = unread.flatMap((one) => one.file ?? [])[0];
  return open(sentences(unread.map(({ says }) => says)), file === undefined ? undefined : { does: 'open', file });
}

/** Whether a card is kept that was made of this dump and its backup as they are now. */
export function cardMade(
  { file, dump }: JobDump,
  work: Work | undefined,
  isRight: boolean,
  { cards, unread, isSaved }: Pick<JobInput, 'cards' | 'unread' | 'isSaved'>,
): Finding {
  const before = work && digestOf(work.card.before.dump);
  const after = digestOf(dump);
  const ofModule = cards.filter(({ modules }) => modules.some(({ found }) => found === before));
  const current = ofModule.filter(({ modules }) =>
    modules.some(({ found, planned }) => found === before && planned === after),
  );
  const whole = current.filter(({ isWhole }) => isWhole);
  const ready = whole.filter(({ isOpen }) => !isOpen);
  const card = ready.find((one) => isSaved(one.file)) ?? ready[0] ?? whole[0];
  if (unread.length > 0) return notRead(unread);
  if (work?.card.isWayBack === true && isReadBadly(work.card.before.dump))
    return open(whyReadAgain(work.card.before), { does: 'bringBack', file });
  if (card?.isOpen === true)
    return open(
      phrase(
        '{0} says "Do not write yet": something was open when it was made. Correct that in all modules that it names, then make a new one.',
        card.name,
      ),
      { does: 'jobCard', file },
    );
  if (card !== undefined && !isSaved(card.file)) return open(notSaved(card.name), { does: 'save', file: card.file });
  const [torn] = current;
  if (card === undefined && torn !== undefined)
    return open(phrase('{0} is not a whole job card any more: make a new one.', torn.name), { does: 'jobCard', file });
  if (card !== undefined)
    return isRight
      ? done(phrase('{0}', card.name), { does: 'open', file: card.file })
      : open(phrase('{0} is of these dumps, which are not all right yet.', card.name), { does: 'jobCard', file });
  const [old] = ofModule;
  if (work?.card.isWayBack === true && old === undefined) return open(toWriteBack(work), { does: 'jobCard', file });
  return open(
    old === undefined
      ? phrase('There is no card of these dumps yet. It is kept in the vehicle folder, where this step finds it.')
      : phrase('{0} was made before the dump was last changed: make a new one.', old.name),
    { does: 'jobCard', file },
  );
}

/** What the module still holds, while its dump is as the backup again. */
function toWriteBack({ comparison }: Work): Phrase {
  const held = comparison.options.map(({ option, before }) => phrase('{0}: {1}', option.title, before));
  const labels = listed(comparison.lines.map(({ called }) => called));
  return held.length === 0
    ? phrase('The module is not as in the backup yet. Make the card of the lines to write back: {0}.', labels)
    : phrase('The module still holds {0}. Make the card of the lines to write back: {1}.', listed(held), labels);
}

/** As a job card lists it. */
function digestOf(dump: Dump): string {
  return sha256OfText(textOfRows(dump.rows));
}

/**
 * Whether the latest reading proves that the module holds what was planned. What it proves may be noted in the profile once
 * the function was tried.
 */
export function verified(
  own: JobDump,
  { written, reading, stray, back, unsaved }: Proof,
  isRight: boolean,
  { unread }: Pick<JobInput, 'unread'>,
  others: Others,
): Finding {
  const { file, dump, loaded } = own;
  if (unread.length > 0) return notRead(unread);
  if (unsaved !== undefined) return toSave(unsaved);
  if (written === undefined || reading === undefined)
    return open(phrase('What is read back is compared with the plan byte for byte.'));
  const look: StepAction = { does: 'verifyReadBack', file, other: reading.file };
  const found = loaded.backup.kind === 'read' ? loaded.backup.dump : undefined;
  if (!written.isOpen && isRight)
    return found !== undefined && isToBeNoted(own, found, reading)
      ? done(phrase('{0} Try the function in the car, and note it if it works.', written.said), {
          ...look,
          does: 'noteSeen',
        })
      : done(written.said, look);
  if (written.settledBy !== undefined) return toSettle(file, written, reading);
  if (stray !== undefined) return open(written.said, { does: 'sayUse', file: stray.file, other: file });
  if (written.isOpen && back !== undefined)
    return open(written.said, isReadBadly(back.dump) ? { does: 'bringBack', file } : look);
  const verification = verifyReadBack(dump, reading.dump, found, others);
  return open(whyNotVerified(written, verification.matches ? undefined : verdictInWords(verification)), look);
}

/**
 * Whether the profile does not say yet of an option that the work has set that it was in this module, and may come to say so:
 * where a verified reading leaves a caveat, nothing is noted.
 */
function isToBeNoted({ dump, loaded }: JobDump, found: Dump, reading: JobDump): boolean {
  if (loaded.profileFile === undefined || newlySeen(found, dump, reading.dump).options.length === 0) return false;
  return verifyReadBack(dump, reading.dump, found).caveats.length === 0;
}

function whyNotVerified({ isOpen, said }: Written, verdict: Phrase | undefined): Phrase {
  if (verdict !== undefined) return verdict;
  return isOpen ? said : phrase('What was read is as the plan, but a step before it is still open.');
}

/** What is open in a record, with the file that it is about where it is about one. */
export interface RecordMatter {
  readonly says: Phrase;
  /** What the module of that file is called. */
  readonly module?: string | undefined;
  readonly file?: string | undefined;
}

/** What is open in the record of a vehicle, as of its folder; what is only in the editor so far, no record shows. */
export function recordOf(
  dumps: readonly JobDump[],
  { retrofits, isSaved, now }: Pick<JobInput, 'retrofits' | 'isSaved' | 'now'>,
  others: Others,
): readonly RecordMatter[] {
  const folders = dumps.map(({ file }) => folderOf(file));
  // Those of other folders may be for other vehicles.
  const isHere = (file: string) => folders.some((folder) => file.startsWith(folder));
  const files = retrofits.map(({ file, read, profileFiles }) => ({
    name: nameIn(file),
    file: read,
    profileFiles: isHere(file) ? profileFiles : [],
  }));
  const shown = [...dumps, ...retrofits.map(({ file }) => ({ file, name: nameIn(file) }))];
  const unsaved = shown.filter(({ file }) => !isSaved(file)).map(({ name, file }) => ({ says: notSaved(name), file }));
  const matters = openInRecord({ dumps, retrofits: files, now }, others).map(({ says, of }) => {
    const dump = dumps.find((one) => one.dump === of?.dump);
    return { says, file: dump?.file, module: dump && moduleTitle([dump]) };
  });
  return [...matters, ...unsaved];
}

/**
 * Whether the module is verified and nothing is open in the record of the vehicle, in none of its modules: a car leaves as a
 * whole. What is open in the own module is said first. It counts what the record lists, what is not saved and what cannot be
 * read; whether anybody has looked at the record leaves no trace in the folder, so it does not count.
 */
export function inRecord(
  { file }: JobDump,
  { dumps, strays }: Module,
  record: readonly RecordMatter[],
  isVerified: boolean,
  { unread }: Pick<JobInput, 'unread'>,
  others: Others,
): Finding {
  const look: StepAction = { does: 'vehicleRecord', file };
  if (unread.length > 0) return notRead(unread);
  const [own] = openMatters([{ dumps, strays }], others);
  if (own !== undefined) return open(own.says, look);
  const [matter] = record;
  if (matter !== undefined) {
    // What a file of another module leaves open is put right there.
    const isElsewhere = matter.file !== undefined && !dumps.some((one) => one.file === matter.file);
    if (!isElsewhere) return open(matter.says, look);
    const isOther = matter.module !== undefined && matter.module !== moduleTitle(dumps);
    const says = isOther ? phrase('{0}: {1}', matter.module ?? '', matter.says) : matter.says;
    return open(says, { does: 'open', file: matter.file }, [look]);
  }
  return isVerified
    ? done(phrase('Nothing is open in the record of the vehicle.'), look)
    : open(phrase('The record tells what was done, and what is open.'), look);
}
