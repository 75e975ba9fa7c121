import {
  type Conversion,
  type ConvertTarget,
  contentsOf,
  conversionOf,
  done,
  FORM_IDS,
  MOST_WIDTH,
  phrase,
  type Result,
  scanContents,
} from '../../../shared-core/src/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
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
  const { from, converted } = must(await conversion(disk, file, profile, to, width));
  if (!converted.ok) throw new Failure(phrase('{0}: {1} Nothing was written.', file, converted.why));
  const { write, lost } = converted.value;
  return {
    status: 0,
    document: { content: write, form: to, inJson: true },
    notes: lost.map((what) => phrase('{0}: not in the converted file: {1}', file, what)),
    json: { file, from, to, lost: lost.map((what) => say(what)) },
  };
}

/** A file in another notation; a memory image may be of any size. */
function conversion(
  { workspace }: Disk,
  name: string,
  profile: string | undefined,
  to: ConvertTarget,
  width: number | undefined,
): Promise<Result<{ readonly from: string; readonly converted: Result<Conversion> }>> {
  const given = profile === undefined ? undefined : uriOf(profile);
  return workspace.open(uriOf(name), { name, profile: given, rows: 'needed' }, async (opened) => {
    const loaded = await opened.explain();
    if (!loaded.ok) return loaded;
    const { dump } = loaded.value;
    const from = dump.notation.id;
    const image = opened.image();
    // Of an image only the rows that matter are at hand; where the profile says that it is written otherwise, all are.
    const contents = () => (image?.notation.id === from ? scanContents(image, dump.profile) : contentsOf(dump));
    return done({ from, converted: conversionOf(from, contents, to, width) });
  });
}
