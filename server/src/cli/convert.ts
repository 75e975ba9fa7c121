import {
  type Contents,
  contentsOf,
  done,
  FORM_IDS,
  lostIn,
  MOST_WIDTH,
  type NoContents,
  phrase,
  sameNotation,
  scanContents,
  type TextSink,
  whyNotHeld,
  writeContents,
} from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome } from './command.js';
import { Failure } from './failure.js';
import { type Disk, must, uriOf } from './load.js';
import { choice, FROM, number, OUT, PROFILE } from './options.js';
import { say } from './say.js';

const OPTIONS = {
  to: choice(FORM_IDS, phrase('how the result is written')),
  width: number(1, MOST_WIDTH, phrase('data bytes in a line (16)')),
  ...FROM,
  ...OUT,
  ...PROFILE,
};

/** The same bytes at the same addresses in another notation. */
export const convert = command({
  name: 'convert',
  arguments: 'FILE',
  does: phrase('same bytes at the same addresses, in another notation: --to {0}', FORM_IDS.join('|')),
  options: OPTIONS,
  run: convertFile,
});

async function convertFile({ files, profile, to, width, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const [file = ''] = files;
  if (to === undefined)
    throw new Failure(phrase('"--to" is missing. Say what to convert to: {0}.', FORM_IDS.join(', ')));
  const { from, contents } = await readContents(disk, file, profile);
  const refused = from === to ? sameNotation() : 'kind' in contents ? contents : whyNotHeld(contents, to);
  if (refused !== undefined) throw new Failure(phrase('{0}: {1} Nothing was written.', file, refused.why));
  const produce = (sink: TextSink) => writeContents(contents as Contents, to, width, sink);
  const lost = lostIn(contents as Contents, to);
  return {
    status: 0,
    document: { content: produce, form: to, inJson: true },
    notes: lost.map((what) => phrase('{0}: not in the converted file: {1}', file, what)),
    json: { file, from, to, lost: lost.map((what) => say(what)) },
  };
}

/** What a file holds; a memory image may be of any size. */
async function readContents(
  { workspace }: Disk,
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
    return done({ from: dump.notation.id, contents: contentsOf(dump) });
  });
  return must(read);
}
