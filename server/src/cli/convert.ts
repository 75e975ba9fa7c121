import {
  BINARY,
  type BinaryView,
  binaryOfContents,
  type Contents,
  contentsOf,
  done,
  FORM_IDS,
  formOf,
  IN_BINARY,
  lostIn,
  MOST_WIDTH,
  type NoContents,
  type Phrase,
  phrase,
  sameNotation,
  scanContents,
  type TextSink,
  whyNotHeld,
  writeContents,
} from '../../../shared-core/src/index.js';
import { writtenAs } from './codedFiles.js';
import { type Call, command, type Document, type Outcome } from './command.js';
import { Failure } from './failure.js';
import { type Disk, must, uriOf } from './load.js';
import { choice, FROM, number, OUT, PROFILE } from './options.js';
import { say } from './say.js';

const TARGETS = [...FORM_IDS, BINARY];

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
  const { from, contents } = await readContents(disk, file, profile);
  const refused = from === to ? sameNotation() : 'kind' in contents ? contents : undefined;
  if (refused !== undefined) throw nothingWritten(file, refused.why);
  const { document, lost } = written(file, contents as Contents, to, width, { offset: offset ?? 0, word });
  return {
    status: 0,
    document,
    notes: lost.map((what) => phrase('{0}: not in the converted file: {1}', file, what)),
    json: { file, from, to, lost: lost.map((what) => say(what)) },
  };
}

function nothingWritten(file: string, why: Phrase): Failure {
  return new Failure(phrase('{0}: {1} Nothing was written.', file, why));
}

/** The contents in a form, or as raw bytes, and what that has no place for. */
function written(
  file: string,
  contents: Contents,
  to: string,
  width: number | undefined,
  view: BinaryView,
): { readonly document: Document; readonly lost: readonly Phrase[] } {
  const form = formOf(to);
  if (form === undefined) {
    const made = binaryOfContents(contents, view);
    if (!made.ok) throw nothingWritten(file, made.why);
    const { bytes, headers } = made.value;
    const content = (sink: TextSink) => sink.ascii(bytes);
    return { document: { content, form: to, headers }, lost: lostIn(contents, IN_BINARY) };
  }
  const unheld = whyNotHeld(contents, form.id);
  if (unheld !== undefined) throw nothingWritten(file, unheld.why);
  const content = (sink: TextSink) => writeContents(contents, form.id, width, sink);
  return { document: { content, form: to, inJson: true }, lost: lostIn(contents, form) };
}

/** What a file holds; a memory image may be of any size. */
async function readContents(
  { workspace, codingOf }: Disk,
  name: string,
  profile: string | undefined,
): Promise<{ readonly from: string; readonly contents: Contents | NoContents }> {
  const given = profile === undefined ? undefined : uriOf(profile);
  const read = await workspace.open(uriOf(name), { name, profile: given }, async (opened) => {
    const image = profile === undefined ? opened.image() : undefined;
    if (image !== undefined) return done({ from: image.notation.id, contents: scanContents(image) });
    const loaded = await opened.explain();
    if (!loaded.ok) return loaded;
    const { dump } = loaded.value;
    return done({ from: writtenAs(codingOf(name), dump.notation.id), contents: contentsOf(dump) });
  });
  return must(read);
}
