import { type ConvertTarget, convert as convertDump, MOST_WIDTH, phrase, say } from '../../../shared-core/src/index.js';
import { type Call, type Outcome, onlyFile } from './command.js';
import { Failure } from './failure.js';
import { writeWhole } from './files.js';
import { load } from './load.js';

const TARGETS: Readonly<Record<ConvertTarget, true>> = { 'dump-text': true, 'intel-hex': true, 's-record': true };

/** The same bytes at the same addresses in another notation. */
export function convert({ files, profile, to, width, out, write }: Call): Outcome {
  const file = onlyFile(files);
  if (write) throw new Failure(phrase('A conversion does not replace its source. Give --out FILE.'));
  if (to === undefined || !isTarget(to)) {
    throw new Failure(phrase('Say what to convert to: --to {0}.', Object.keys(TARGETS).join(', ')));
  }
  const { dump } = load(file, profile);
  const converted = convertDump(dump, to, widthOf(width));
  if (converted.kind === 'refused') throw new Failure(phrase('{0}: {1} Nothing was written.', file, converted.why));
  if (out !== undefined) writeWhole(out, converted.text);
  const lost = converted.lost.map((what) => say(what));
  return {
    status: 0,
    text: out === undefined ? converted.text : '',
    notes: lost.map((what) => say(phrase('{0}: not in the converted file: {1}', file, what))),
    json: { file, from: dump.notation.id, to, ...(out === undefined ? { text: converted.text } : {}), lost },
  };
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
