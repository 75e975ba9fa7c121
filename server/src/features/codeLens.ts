import { hasPlaceForHeaders } from '../../../shared-core/src/actions/index.js';
import { listed, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { checkDump, isFormUnknown, isGood, summaryOf, verdictOf } from '../../../shared-core/src/checks/index.js';
import { compareDumps, differingBytes, differs } from '../../../shared-core/src/compare/index.js';
import { accountInWords, accountOf, type Dump, isSealed, wrongTotals } from '../../../shared-core/src/model/index.js';
import type { InitializationOptions } from '../../../shared-core/src/protocol/initialization.js';
import { BEFORE_BACKUP, type Evidence, evidenceOf, isBeforeBackup } from '../evidence.js';
import { answer, type Feature } from '../feature.js';
import type { CodeLens, Command } from '../lsp.js';
import type { Analysis, Session } from '../session.js';

/** What a lens is about; its words are worked out when it comes into view. */
type Subject = 'empty' | 'form' | 'profile' | 'sums' | 'backup' | 'seal';

interface LensData {
  readonly uri: string;
  readonly subject: Subject;
}

interface Lens {
  readonly title: Phrase;
  /** A command of the extension; a lens without one only says something. */
  readonly command?: string;
  readonly given?: readonly unknown[];
}

/** Above the first line: how many sums are wrong, and how many bytes differ from the backup, each with its command. */
export const codeLens: Feature = {
  capabilities: ({ client }) => (isOffered(client) ? { codeLensProvider: { resolveProvider: true } } : {}),
  register: (connection, session) => {
    if (!isOffered(session.client)) return;
    connection.onCodeLens(async ({ textDocument: { uri } }) => {
      const { codeLens: wanted } = await session.settings(uri);
      return wanted ? answer(session, uri, (explained) => lensesOf(session, explained), []) : [];
    });
    connection.onCodeLensResolve(async (lens) => {
      const { uri, subject } = lens.data as LensData;
      const command = await answer(session, uri, (explained) => commandOf(session, explained, subject), NOTHING);
      return { ...lens, command };
    });
  },
};

const NOTHING: Command = { title: '', command: '' };

/** A lens that does nothing when it is clicked is worse than none: only for clients that carry out the commands. */
function isOffered({ initializationOptions }: Session['client']): boolean {
  return (initializationOptions as InitializationOptions | undefined)?.commands === true;
}

type Looked = Pick<Analysis, 'dump' | 'profile' | 'backup'>;

async function lensesOf(session: Session, explained: Analysis): Promise<CodeLens[]> {
  const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  const { file: uri } = explained;
  return subjectsOf(explained, await evidenceOf(session, explained)).map((subject) => ({
    range,
    data: { uri, subject } satisfies LensData,
  }));
}

function subjectsOf({ dump, profile, backup }: Looked, evidence: Evidence | undefined): readonly Subject[] {
  if (isEmpty(dump)) return ['empty'];
  if (isFormUnknown({ dump, profile })) return profile.kind === 'none' ? ['form'] : [];
  return [
    ...(profile.kind === 'unreadable' && profile.isStale ? (['profile'] as const) : []),
    ...(dump.rule !== undefined || dump.totals.length > 0 ? (['sums'] as const) : []),
    // A sealed copy is a backup itself; what was read back, or is only to compare with, has none; a form without headers cannot name one.
    ...(!isSealed(dump) &&
    evidence === undefined &&
    dump.layout.order.length > 0 &&
    (hasPlaceForHeaders(dump) || backup.kind !== 'none')
      ? (['backup'] as const)
      : []),
    ...(isSealed(dump) ? (['seal'] as const) : []),
  ];
}

/** Whether a text is to hold a dump and has at most headers. */
function isEmpty({ rows, notation }: Dump): boolean {
  return notation.headers === 'own' && rows.every(({ kind, text }) => kind === 'header' || text.trim() === '');
}

async function commandOf(session: Session, explained: Analysis, subject: Subject): Promise<Command> {
  const lens: Lens =
    subject === 'backup' && (await isBeforeBackup(session, explained))
      ? { title: BEFORE_BACKUP }
      : LENSES[subject](explained, await evidenceOf(session, explained));
  const { title, command = '', given } = lens;
  return { title: session.say(title), command, ...(given && { arguments: [...given] }) };
}

const LENSES: Readonly<Record<Subject, (explained: Analysis, evidence: Evidence | undefined) => Lens>> = {
  empty: () => ({ title: phrase('Nothing is in here yet: paste what was read here, and save it') }),
  form: ({ file }) => ({
    title: phrase('This form is not known yet: Work Out the Checksum Rule'),
    command: 'countersum.learn',
    given: [file],
  }),
  profile: ({ file, profileFile, dump }) => ({
    title: phrase('The profile has a problem at the moment: shown by its last good version'),
    command: 'countersum._openProfile',
    given: [file, dump.profile.flaw?.span.file ?? profileFile, dump.profile.flaw?.span.start],
  }),
  sums: sumsLens,
  backup: backupLens,
  seal: ({ dump }) => ({
    title:
      dump.sealHolds === true
        ? phrase('Sealed backup: its seal holds, no record was changed since')
        : phrase('Sealed backup: its seal does not hold'),
  }),
};

function sumsLens(explained: Analysis, evidence: Evidence | undefined): Lens {
  const { dump, name } = explained;
  const wrong = dump.wrongSums.length + wrongTotals(dump).length;
  if (wrong === 0) {
    const verdict = verdictOf(explained, checkDump(explained));
    return { title: isGood(verdict) ? phrase('All sums are right') : listed(summaryOf([{ name, verdict }]), ' · ') };
  }
  if (evidence === 'comparison') return { title: phrase('Sums that are wrong: {0}', wrong) };
  if (evidence === 'readBack') return { title: phrase('Sums that are wrong in what was read back: {0}', wrong) };
  const account = accountOf(dump);
  const title = wrong === 1 ? phrase('1 sum is wrong: correct it') : phrase('{0} sums are wrong: correct all', wrong);
  const said = account.unread > 0 ? listed([title, accountInWords(account)], ' · ') : title;
  return { title: said, command: 'countersum.correctChecksums' };
}

function backupLens({ dump, backup }: Pick<Analysis, 'dump' | 'backup'>): Lens {
  if (backup.kind === 'none') return { title: phrase('No backup yet: make one'), command: 'countersum.makeBackup' };
  if (backup.kind !== 'read') return { title: phrase('The backup cannot be read') };
  const comparison = compareDumps(backup.dump, dump);
  const bytes = differingBytes(comparison);
  const command = 'countersum.compareWithBackup';
  if (comparison.identical) return { title: phrase('No byte differs from the backup') };
  if (bytes === 0)
    return differs(comparison)
      ? { title: phrase('Lines differ from the backup: compare'), command }
      : { title: phrase('Not everything could be compared with the backup: show'), command };
  const title =
    bytes === 1
      ? phrase('1 byte differs from the backup: compare')
      : phrase('{0} bytes differ from the backup: compare', bytes);
  return { title, command };
}
