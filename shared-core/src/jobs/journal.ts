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
  /** Whether its dump may be changed from the one text to the other, by the profile that explains it. */
  readonly prove: (module: JournalModule) => Promise<Result<void>>;
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
      'This is no journal of a plan that can be read. Look at the modules beside it, correct them, then delete it.',
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

/** Where a plan is on its way: `half` where some modules are as planned and some as before, `changed` where one is neither. */
export type PlanStage =
  | { readonly kind: 'before' | 'after' | 'half' }
  | { readonly kind: 'changed'; readonly why: Phrase };

export async function stageOfPlan({ modules }: Journal, files: JournalFiles): Promise<PlanStage> {
  const stages = await stagesOf(modules, files);
  const other = modules.find((_, i) => stages[i] === 'other');
  if (other !== undefined) return { kind: 'changed', why: whyNeither(other.file) };
  if (!stages.includes('after')) return { kind: 'before' };
  return { kind: stages.includes('before') ? 'half' : 'after' };
}

/** How a plan that is half done comes to an end. */
export type WayOut = 'finish' | 'undo';

/**
 * The ways that are open. A journal may come from anywhere, so it is believed only where everything in it is proved:
 * each module is as it was before or as planned, and each change is one that may be made.
 */
export async function waysOut(journal: Journal, files: JournalFiles): Promise<Result<readonly WayOut[]>> {
  const stage = await stageOfPlan(journal, files);
  if (stage.kind === 'changed') return refuse(stage.why);
  if (stage.kind !== 'half') return done(['finish']);
  const proved = await proveEach(journal.modules, files);
  if (!proved.ok) return proved;
  const back = await proveEach(await wayBack(journal, files), files);
  return done(back.ok ? ['finish', 'undo'] : ['finish']);
}

/**
 * Finishes a plan that was cut short, or undoes it where that is asked for or it cannot be finished. Once this is done
 * the journal is to be deleted; where it is refused, both ways are barred and the journal stays.
 */
export async function settleJournal(
  journal: Journal,
  files: JournalFiles,
  way: WayOut = 'finish',
): Promise<Result<Settled>> {
  const { modules } = journal;
  const names = modules.map(({ file }) => file);
  const stage = await stageOfPlan(journal, files);
  if (stage.kind === 'changed') return refuse(stage.why);
  if (stage.kind === 'before') return done({ kind: 'dropped', files: names });
  if (stage.kind === 'after') return done({ kind: 'finished', files: names });
  const proved = await proveEach(modules, files);
  if (!proved.ok) return proved;
  if (way === 'undo') return undo(journal, files);
  const stages = await stagesOf(modules, files);
  const finished = await writeEach(
    modules.filter((_, i) => stages[i] === 'before'),
    files,
  );
  if (finished.ok) return done({ kind: 'finished', files: names });
  const undone = await undo(journal, files);
  return undone.ok ? undone : refuse(whyHalf(finished.why));
}

async function undo(journal: Journal, files: JournalFiles): Promise<Result<Settled>> {
  const back = await wayBack(journal, files);
  const proved = await proveEach(back, files);
  if (!proved.ok) return proved;
  const undone = await writeEach(back, files);
  return undone.ok ? done({ kind: 'undone', files: journal.modules.map(({ file }) => file) }) : undone;
}

/** The modules that are as planned, each from there to what it was, the last one first. */
async function wayBack({ modules }: Journal, files: JournalFiles): Promise<readonly JournalModule[]> {
  const stages = await stagesOf(modules, files);
  return modules
    .filter((_, i) => stages[i] === 'after')
    .map(({ file, before, after }) => ({ file, before: after, after: before }))
    .reverse();
}

async function stagesOf(modules: readonly JournalModule[], { read }: JournalFiles): Promise<readonly Stage[]> {
  const texts = await Promise.all(modules.map(({ file }) => read(file)));
  return modules.map(({ before, after }, i) => {
    if (texts[i] === before) return 'before';
    return texts[i] === after ? 'after' : 'other';
  });
}

async function proveEach(modules: readonly JournalModule[], { prove }: JournalFiles): Promise<Result<void>> {
  for (const module of modules) {
    const proved = await prove(module);
    if (!proved.ok) return { ...proved, why: whyUnproved(module.file, proved.why) };
  }
  return done(undefined);
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
    'A plan was cut short here, and {0} was changed since, so it can neither be finished nor undone. Move {1} to another folder, then restore the modules from their backups or finish them by hand.',
    file,
    JOURNAL_NAME,
  );
}

function whyUnproved(file: string, why: Phrase): Phrase {
  return phrase(
    'A plan was cut short here, but the change of {0} that its journal names may not be made, so nothing was written: {1} Move {2} to another folder, then restore the modules from their backups or finish them by hand.',
    file,
    why,
    JOURNAL_NAME,
  );
}

function whyHalf(why: Phrase): Phrase {
  return phrase(
    'A plan was cut short here, and can neither be finished nor undone: {0} Correct that and try again.',
    why,
  );
}
