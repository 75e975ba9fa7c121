import type { Phrase, TextSink } from '../../../shared-core/src/base/index.js';
import { BINARY } from '../../../shared-core/src/workspace/index.js';
import type { LeftPlan } from '../files/journals.js';
import type { Rewrite } from '../files/save.js';
import type { Disk, ReadAs } from './load.js';
import type { FROM, Options, OUT, PROFILES, UNCONFIRMED, Value, ValuesOf, WRITE } from './options.js';
import { type Accepts, readCall } from './readCall.js';

/** What a command is called with: its files, whether a script reads the answer, its way to files, and its options. */
export type Call<O extends Options = Options> = ValuesOf<O> & {
  readonly files: readonly string[];
  readonly json: boolean;
  readonly disk: Disk;
  /** Plans that are half done in files that have been read so far. */
  readonly halfPlans: () => readonly LeftPlan[];
};

/** Options that mean the same to every command that has them. */
type Shared = Partial<
  typeof FROM &
    typeof OUT &
    typeof PROFILES &
    typeof UNCONFIRMED &
    typeof WRITE &
    Record<'format' | 'to', Value<string>>
>;

/** Everything about one command: its usage, its help, what it accepts and what it does follow from this. */
export interface CommandSpec<O extends Options & Shared> extends Accepts {
  readonly does: Phrase;
  readonly options: O;
  /** Which of the names are dumps, or folders of them; all, where nothing is said. */
  readonly places?: (names: readonly string[]) => readonly string[];
  readonly run: (call: Call<O>) => Outcome | Promise<Outcome>;
}

/** A command that has been declared; `prepare` reads the words behind its name. */
export interface Command extends Omit<CommandSpec<Options>, 'run'> {
  readonly prepare: (words: readonly string[]) => Prepared;
}

/** A command with all that it is called with. */
export interface Prepared {
  readonly json: boolean;
  /** The dumps that were named, and folders of them. */
  readonly places: readonly string[];
  /** How they are read. */
  readonly readAs: ReadAs;
  readonly destination: Destination;
  /** The person has confirmed that profiles are for their modules. */
  readonly unconfirmed: boolean;
  readonly run: (disk: Disk, halfPlans: Call['halfPlans']) => Promise<Outcome>;
}

/** Where the result goes, as far as the command line says so. */
export interface Destination {
  readonly write: boolean;
  readonly out: string | undefined;
  readonly force: boolean;
}

export function command<O extends Options & Shared>(spec: CommandSpec<O>): Command {
  return {
    ...spec,
    prepare: (words) => {
      const { files, json: asked, ...read } = readCall(spec, words);
      // `readCall` gives each option of the command what its kind promises, which types cannot follow.
      const values = read.values as ValuesOf<O> & Partial<ValuesOf<Required<Shared>>>;
      const { write = false, out, force = false, unconfirmed = false, from, offset, word, to, format } = values;
      const json = asked || format === 'json';
      return {
        json,
        places: [...(spec.places?.(files) ?? files), ...namedInGroups(spec.options, read.values)],
        readAs: {
          from,
          libraries: values.profiles ?? [],
          ...((offset !== undefined || word !== undefined) && { view: { offset: offset ?? 0, word } }),
          ...(word !== undefined && { word: { word, orOfResult: to === BINARY } }),
        },
        destination: { write, out, force },
        unconfirmed,
        run: async (disk, halfPlans) => spec.run({ ...values, files, json, disk, halfPlans }),
      };
    },
  };
}

/** The names behind options such as `--with FILE…`. */
function namedInGroups(options: Options, values: Readonly<Record<string, unknown>>): readonly string[] {
  const groups = Object.keys(options).filter((name) => options[name]?.kind === 'group');
  return groups.flatMap((name) => values[name] as readonly string[]);
}

/** What a command says and makes, and how it ends: 0 good, 1 problems found or a difference, 2 not to be had. */
export interface Outcome {
  readonly status: 0 | 1 | 2;
  /** Sentences for a person, a line each; left out where the document itself is printed. */
  readonly says?: readonly Phrase[];
  /** What the command makes: it goes to a file, or to standard output. */
  readonly document?: Document;
  /** Files that get a new text, all or none. */
  readonly rewrites?: readonly Rewrite[];
  /** Files that get a new text, each for itself: where a run is cut short, another one does the rest. */
  readonly separate?: readonly Rewrite[];
  /**
   * Files that get a new text in sets, each all or none and each for itself; what is told follows from the refused ones. Where
   * they are not written now, from those that would be.
   */
  readonly sets?: {
    readonly isWritten: boolean;
    readonly of: ReadonlyMap<number, readonly Rewrite[]>;
    readonly told: (refused: ReadonlyMap<number, Phrase>) => Outcome;
  };
  /** Files that go into the folder of `--out`, all or none. */
  readonly folder?: readonly FolderFile[];
  /** What a person must know before anything is written. */
  readonly cautions?: readonly Phrase[];
  /** Sentences beside the answer. */
  readonly notes?: readonly Phrase[];
  readonly json: object;
}

/** A file that goes into a folder. */
export interface FolderFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** What belongs into the file beside one that has no place for headers. */
  readonly headers: string;
}

/** A text that a command makes, whole or in pieces. */
export interface Document {
  readonly content: string | ((sink: TextSink) => void);
  /** What belongs into the file beside a binary. */
  readonly headers?: string;
  /** How a dump is written; undefined for pages and profiles. */
  readonly form?: string;
  /** The file that `--write` replaces, with the text that it had when it was read. */
  readonly of?: { readonly file: string; readonly before: string };
  /** Whether JSON contains it as "text" where it goes to no file. */
  readonly inJson?: boolean;
}
