import {
  type Contents,
  type ConvertTarget,
  contentsOf,
  done,
  lostIn,
  MOST_WIDTH,
  type NoContents,
  type NotationId,
  phrase,
  sameNotation,
  scanContents,
  type TextSink,
  writeContents,
} from '../../../shared-core/src/index.js';
import { type Call, type Outcome, onlyFile } from './command.js';
import { Failure } from './failure.js';
import { textBy, writeToStdout, writeWholeBy } from './files.js';
import { must, openFiles, uriOf } from './load.js';
import { say } from './say.js';

const TARGETS: Readonly<Record<ConvertTarget, true>> = { 'dump-text': true, 'intel-hex': true, 's-record': true };

/** The same bytes at the same addresses in another notation. */
export async function convert({ files, profile, to, width, out, write, json }: Call): Promise<Outcome> {
  const file = onlyFile(files);
  if (write) throw new Failure(phrase('A conversion does not replace its source. Give --out FILE.'));
  if (to === undefined || !isTarget(to)) {
    throw new Failure(phrase('Say what to convert to: --to {0}.', Object.keys(TARGETS).join(', ')));
  }
  const { from, contents } = await readContents(file, profile);
  const refused = from === to ? sameNotation() : 'kind' in contents ? contents : undefined;
  if (refused !== undefined) throw new Failure(phrase('{0}: {1} Nothing was written.', file, refused.why));
  const bytesPerLine = widthOf(width);
  const produce = (sink: TextSink) => writeContents(contents as Contents, to, bytesPerLine, sink);
  const lost = lostIn(contents as Contents, to).map((what) => say(what));
  // A text goes into the answer as a whole only where a script wants it there.
  if (out !== undefined) writeWholeBy(out, produce);
  else if (!json) writeToStdout(produce);
  return {
    status: 0,
    text: '',
    notes: lost.map((what) => say(phrase('{0}: not in the converted file: {1}', file, what))),
    json: { file, from, to, ...(out === undefined && json ? { text: textBy(produce) } : {}), lost },
  };
}

/** What a file holds; a memory image may be of any size. */
async function readContents(
  name: string,
  profile: string | undefined,
): Promise<{ readonly from: NotationId; readonly contents: Contents | NoContents }> {
  const files = openFiles([name]);
  const given = profile === undefined ? undefined : uriOf(profile);
  const read = await files.workspace.open(uriOf(name), { name, profile: given }, async (opened) => {
    const image = profile === undefined ? opened.image() : undefined;
    if (image !== undefined) return done({ from: image.notation.id, contents: scanContents(image) });
    const loaded = await opened.explain();
    if (!loaded.ok) return loaded;
    const { dump } = loaded.value;
    return done({ from: dump.notation.id, contents: contentsOf(dump) });
  });
  return must(read);
}

function isTarget(name: string): name is ConvertTarget {
  return Object.hasOwn(TARGETS, name);
}

function widthOf(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  const width = /^\d{1,3}$/.test(text) ? Number(text) : 0;
  if (width >= 1 && width <= MOST_WIDTH) return width;
  throw new Failure(phrase('"--width" is a number of bytes from 1 to {0}.', MOST_WIDTH));
}
