import { done, phrase, type Result } from '../../../shared-core/src/base/index.js';
import {
  type Contents,
  type Conversion,
  conversionOf,
  inSingleBytes,
  lostIn,
  MOST_WIDTH,
  type SourceWords,
  whyAlready,
} from '../../../shared-core/src/convert/index.js';
import { FORM_IDS } from '../../../shared-core/src/format/index.js';
import {
  BINARY,
  type BinaryView,
  binaryOfContents,
  IN_BINARY,
  writtenAs,
} from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { type Disk, must, uriOf } from './load.js';
import { choice, FROM, number, OUT, PROFILE } from './options.js';
import { runShown } from './progress.js';
import { say } from './say.js';

const TARGETS = [...FORM_IDS, BINARY] as const;

const OPTIONS = {
  to: choice(TARGETS, phrase('how the result is written')),
  width: number(1, MOST_WIDTH, phrase('data bytes in a line (16)')),
  ...FROM,
  ...OUT,
  ...PROFILE,
};

/** The same bytes at the same addresses in another form. */
export const convert = command({
  name: 'convert',
  arguments: 'FILE',
  does: phrase('same bytes at the same addresses, in another form: --to {0}', TARGETS.join('|')),
  options: OPTIONS,
  run: convertFile,
});

async function convertFile({ files, profile, to, width, offset, word, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [file = ''] = files;
  if (to === undefined)
    throw new Failure(phrase('"--to" is missing. Say what to convert to: {0}.', TARGETS.join(', ')));
  return must(
    await withContents(disk, file, profile, (from, contents, words) => {
      // Words that are said count once: for the file, or where that knows none for the result.
      const said = words.source === undefined ? word : undefined;
      const converted: Result<Conversion> =
        to === BINARY
          ? toBinary(from, contents, { offset: offset ?? 0, word: said }, words)
          : conversionOf(from, contents, to, width, words);
      if (!converted.ok) throw new Failure(phrase('{0}: {1} Nothing was written.', file, converted.why));
      const { write, lost, headers } = converted.value;
      return {
        status: 0,
        document: { content: write, form: to, ...(headers === undefined ? { inJson: true } : { headers }) },
        notes: lost.map((what) => phrase('{0}: not in the converted file: {1}', file, what)),
        json: { file, from, to, lost: lost.map((what) => say(what)) },
      };
    }),
  );
}

function toBinary(
  from: string,
  contents: () => Result<Contents>,
  view: BinaryView,
  { profile }: SourceWords,
): Result<Conversion> {
  if (from === BINARY) return whyAlready();
  const found = contents();
  if (!found.ok) return found;
  const resolved = inSingleBytes(found.value, true, profile);
  if (!resolved.ok) return resolved;
  const held = resolved.value.contents;
  const made = binaryOfContents(held, view);
  if (!made.ok) return made;
  const { bytes, headers } = made.value;
  return done({
    write: (sink) => sink.ascii(bytes),
    lost: [...resolved.value.lost, ...lostIn(held, IN_BINARY)],
    // What a person has stored in words says so.
    headers: view.word === undefined ? headers : `${headers}@word ${view.word}\n`,
  });
}

/** Does something with what a file holds and the form it is written in; a memory image may be of any size. */
function withContents(
  { workspace, codingOf }: Disk,
  name: string,
  profile: string | undefined,
  use: (from: string, contents: () => Result<Contents>, words: SourceWords) => Outcome,
): Promise<Result<Outcome>> {
  const given = profile === undefined ? undefined : uriOf(profile);
  const how = { name, profile: given, rows: 'needed', contents: true, run: runShown } as const;
  return workspace.open(uriOf(name), how, async (opened) => {
    const loaded = await opened.explain();
    if (!loaded.ok) return loaded;
    const { dump, own = dump } = loaded.value;
    const words = { source: dump.notation.word, profile: own.profile.word };
    return done(use(writtenAs(codingOf(name), dump.notation.id), () => opened.contents(dump), words));
  });
}
