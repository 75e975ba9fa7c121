import { hex } from '../../base/hex.js';
import { BOX, boldName, plain } from '../../base/markdown.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { ByteDifference, Comparison, LineDifference, OptionDifference } from '../../compare/compareDumps.js';
import { reasonInWords } from '../../compare/comparisonInWords.js';
import { addressCell, cellsOfOption } from '../../model/cell.js';
import type { Dump } from '../../model/dump.js';
import { byteAt } from '../../model/totals.js';
import { moduleName } from './identity.js';
import type { CardModule, Say } from './input.js';
import { bytesOfRow, lineText } from './lineText.js';

/** Of a line that the module may hold otherwise, or even as in its backup. */
const READ_BADLY = phrase('Its own sum is wrong in what was read: mistyped or badly read.');

/** The rows of the table of lines to enter: the module, then for each line a box, the line, its old and its new bytes, and why each byte changes. */
export function linesToEnter(
  module: CardModule,
  { lines, options }: Comparison,
  say: Say,
): readonly (readonly string[])[] {
  const [before, after] = [module.before.dump, module.after.dump];
  const isBad = ({ beforeRow }: LineDifference) => module.isWayBack === true && before.wrongSums.includes(beforeRow);
  const rows = lines.map((line) => {
    const why = bytesInWords(after, line, options, say);
    const [old, now] = [oldBytes(before, after, line), bytesOfRow(after, line.afterRow)];
    return [
      BOX,
      boldName(line.called),
      lineText(after, line.afterRow, old, now),
      lineText(after, line.afterRow, now, old),
      plain(isBad(line) ? `${why}. ${say(READ_BADLY)}` : why),
    ];
  });
  return [['', '', `**${moduleName(module)}**`, '', ''], ...rows];
}

/** The old lines, as they are entered to go back; none of a module that is on that way already, as its old lines are those to leave. */
export function linesToRestoreByHand(module: CardModule, { lines }: Comparison): readonly (readonly string[])[] {
  if (module.isWayBack) return [];
  const [before, after] = [module.before.dump, module.after.dump];
  return lines.map((line) => {
    const old = oldBytes(before, after, line);
    return [BOX, moduleName(module), boldName(line.called), lineText(after, line.afterRow, old, old)];
  });
}

/**
 * What a line of the later dump held before. Records of images may have been cut otherwise: then it is the bytes at the
 * addresses of the later record, without a sum.
 */
function oldBytes(before: Dump, after: Dump, { beforeRow, afterRow }: LineDifference): readonly (number | undefined)[] {
  const at = after.layout.kind === 'image' ? after.layout.order.indexOf(afterRow) : -1;
  if (at < 0) return bytesOfRow(before, beforeRow);
  const address = after.layout.keys[at] as number;
  const cells = Array.from({ length: after.layout.dataCount[afterRow] as number }, (_, i) =>
    addressCell(before.layout, address + i),
  );
  const isSame =
    cells.length === before.layout.dataCount[beforeRow] && cells[0]?.row === beforeRow && cells[0].byte === 0;
  return isSame ? bytesOfRow(before, beforeRow) : cells.map((cell) => cell && byteAt(before.rows, cell));
}

/** Why each byte of a line changes; bytes that change for one reason are named together. */
function bytesInWords(dump: Dump, line: LineDifference, options: readonly OptionDifference[], say: Say): string {
  const byReason = new Map<string, ByteDifference[]>();
  for (const difference of line.bytes) {
    const why = say(whyInWords(dump, line, difference, options));
    byReason.set(why, [...(byReason.get(why) ?? []), difference]);
  }
  return say(
    listed(
      [...byReason].map(([why, bytes]) => placeAndReason(bytes, why)),
      '; ',
    ),
  );
}

/** Of an image the addresses: that is where a programmer shows them. */
function placeAndReason(bytes: readonly ByteDifference[], why: string): Phrase {
  const addresses = bytes.flatMap(({ address }) => (address === undefined ? [] : hex(address, 4)));
  return addresses.length === bytes.length
    ? phrase('address {0}: {1}', listed(addresses), why)
    : phrase('byte {0}: {1}', listed(bytes.map(({ byte }) => byte)), why);
}

function whyInWords(
  dump: Dump,
  { afterRow }: LineDifference,
  { byte, reason }: ByteDifference,
  options: readonly OptionDifference[],
): Phrase {
  if (reason === 'option') {
    const here = options.filter(({ option }) =>
      cellsOfOption(dump.layout, option).some((cell) => cell.row === afterRow && cell.byte === byte - 1),
    );
    if (here.length > 0)
      return listed(here.map(({ option, before, after }) => phrase('{0} {1} → {2}', option.title, before, after)));
  }
  return reasonInWords(reason);
}
