import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';

/**
 * A file beside the modules of a plan while they are written one after the other. Where the run that wrote it was cut
 * short, whoever comes next finishes the plan or undoes it, so that all modules are as planned or none is.
 */
export const JOURNAL_NAME = '.countersum-plan.json';

export interface Journal {
  /** The run that wrote it. While that is under way, the journal is none of anyone else's business. */
  readonly host: string;
  readonly pid: number;
  /** In the order in which they are written. */
  readonly modules: readonly JournalModule[];
}

/** A module with its whole text before and after. */
export interface JournalModule {
  /** Its path from the journal's folder downwards, with slashes. */
  readonly file: string;
  readonly before: string;
  readonly after: string;
}

/** How files are reached, by their paths from the journal's folder. */
export interface JournalFiles {
  /** The text of a file; undefined where there is none, or it cannot be read. */
  readonly read: (file: string) => Promise<string | undefined>;
  /** Replaces the text of a file, where it still has the text that it is to have before. */
  readonly write: (module: JournalModule) => Promise<Result<void>>;
}

/** What became of a plan that was cut short. Where it was `dropped`, no module had been changed yet. */
export interface Settled {
  readonly kind: 'finished' | 'undone' | 'dropped';
  readonly files: readonly string[];
}

export function journalText({ host, pid, modules }: Journal): string {
  return `${JSON.stringify({ format: 1, host, pid, modules }, null, 2)}\n`;
}

/** Reads a journal. Whatever is not exactly as `journalText` writes it is refused, for it says what is written where. */
export function readJournal(text: string): Result<Journal> {
  const unreadable = refuse(
    phrase(
      'This is no journal of a plan that can be read. Look at the modules beside it, put them right, then delete it.',
    ),
  );
  const json = parsed(text);
  if (!isRecord(json) || !hasKeys(json, ['format', 'host', 'pid', 'modules'])) return unreadable;
  const { format, host, pid, modules } = json;
  if (
    format !== 1 ||
    typeof host !== 'string' ||
    typeof pid !== 'number' ||
    !Array.isArray(modules) ||
    modules.length === 0
  )
    return unreadable;
  const read = modules.flatMap((one: unknown) => moduleIn(one) ?? []);
  const files = new Set(read.map(({ file }) => file));
  return read.length === modules.length && files.size === read.length ? done({ host, pid, modules: read }) : unreadable;
}

function moduleIn(json: unknown): JournalModule | undefined {
  if (!isRecord(json) || !hasKeys(json, ['file', 'before', 'after'])) return undefined;
  const { file, before, after } = json;
  if (typeof file !== 'string' || typeof before !== 'string' || typeof after !== 'string') return undefined;
  return leadsDown(file) && before !== after ? { file, before, after } : undefined;
}

/** Whether a path leads to a file in the same folder or below it, and to no hidden one: a journal may come from anywhere. */
function leadsDown(path: string): boolean {
  return path.split('/').every((part) => part !== '' && !part.startsWith('.') && !/[\\:\0]/.test(part));
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function isRecord(json: unknown): json is Readonly<Record<string, unknown>> {
  return typeof json === 'object' && json !== null && !Array.isArray(json);
}

function hasKeys(json: Readonly<Record<string, unknown>>, keys: readonly string[]): boolean {
  return Object.keys(json).length === keys.length && keys.every((key) => Object.hasOwn(json, key));
}

/** Where a module is on its way: `other` where it has been changed by somebody else since, or is gone. */
type Stage = 'before' | 'after' | 'other';

/**
 * Finishes a plan that was cut short, or undoes it where it cannot be finished. Once this is done the journal is to be
 * deleted; where it is refused, both ways are barred and the journal stays.
 */
export async function settleJournal({ modules }: Journal, files: JournalFiles): Promise<Result<Settled>> {
  const stages = await stagesOf(modules, files);
  const names = modules.map(({ file }) => file);
  // Modules are written in their order. Of what was changed since by hand, this tells whether the plan was in it.
  if (stages[0] === 'before' && !stages.includes('after')) return done({ kind: 'dropped', files: names });
  if (stages.at(-1) === 'after' && !stages.includes('before')) return done({ kind: 'finished', files: names });
  const other = modules.find((_, i) => stages[i] === 'other');
  if (other !== undefined) return refuse(whyNeither(other.file));
  const open = modules.filter((_, i) => stages[i] === 'before');
  const finished = await writeEach(open, files);
  if (finished.ok) return done({ kind: 'finished', files: names });
  const written = await stagesOf(modules, files);
  const undone = await writeEach(
    modules
      .filter((_, i) => written[i] === 'after')
      .map(turned)
      .reverse(),
    files,
  );
  return undone.ok ? done({ kind: 'undone', files: names }) : refuse(whyHalf(finished.why));
}

/** The way back of a module. */
function turned({ file, before, after }: JournalModule): JournalModule {
  return { file, before: after, after: before };
}

async function stagesOf(modules: readonly JournalModule[], { read }: JournalFiles): Promise<readonly Stage[]> {
  const texts = await Promise.all(modules.map(({ file }) => read(file)));
  return modules.map(({ before, after }, i) => {
    if (texts[i] === before) return 'before';
    return texts[i] === after ? 'after' : 'other';
  });
}

async function writeEach(modules: readonly JournalModule[], { write }: JournalFiles): Promise<Result<void>> {
  for (const module of modules) {
    const written = await write(module);
    if (!written.ok) return written;
  }
  return done(undefined);
}

function whyNeither(file: string): Phrase {
  return phrase(
    'A plan was cut short here, and {0} was changed since, so it can neither be finished nor undone. Restore the modules from their backups, or finish them by hand; then delete {1}.',
    file,
    JOURNAL_NAME,
  );
}

function whyHalf(why: Phrase): Phrase {
  return phrase(
    'A plan was cut short here, and can neither be finished nor undone: {0} Put that right and try again.',
    why,
  );
}
