import { hex, type Phrase, phrase, SURE, twoDigitsBelow } from '../../shared-core/src/base/index.js';
import type { Label } from '../../shared-core/src/format/index.js';
import { isOfImages, type OptionSearch, rounded } from '../../shared-core/src/learn/index.js';
import { calledLine, type Dump } from '../../shared-core/src/model/index.js';
import { sureInShort } from '../../shared-core/src/profile/index.js';
import type { OptionMap } from '../../shared-core/src/protocol/learning.js';

type Say = (said: Phrase) => string;

/** With more lines than these, those in which nothing varies are left out. */
const MOST_LINES = 200;

/** Up to which q a byte is as striking as that: beyond doubt, found, possible. */
const LEVELS = [0.001, 0.05, 0.25];

/** The dumps' bytes line by line, each with the lowest q of the places in it. */
export function optionMap(search: OptionSearch, own: Dump, say: Say): OptionMap {
  const { places } = search.matrix;
  const lines = new Map<Label, OptionMap['rows'][number]['cells'][number][]>();
  places.forEach(({ line, byte }, column) => {
    const q = search.rates[column];
    const said =
      q === undefined
        ? { q: null, odds: null, short: null }
        : { q: say(rounded(q)), ...inWords(q, search.fits[column] === true, search.tried, say) };
    const fits = q !== undefined && search.fits[column] === true;
    const cell = { byte, ...said, level: q === undefined ? 0 : levelOf(q), fits };
    lines.set(line, [...(lines.get(line) ?? []), cell]);
  });
  const all = [...lines].map(([line, cells]) => ({
    label: isOfImages(search) ? hex(Number(line), 4) : calledLine(own, line),
    cells,
  }));
  const rows = all.length <= MOST_LINES ? all : all.filter(({ cells }) => cells.some(({ q }) => q !== null));
  const shown = rows.slice(0, MOST_LINES);
  const columns = shown.reduce((most, { cells }) => Math.max(most, cells.at(-1)?.byte ?? 0), 0);
  return { columns, rows: shown, left: all.length - shown.length };
}

/** What is said of a byte: of one in which no place fits all dumps, it is only that it varies. */
function inWords(q: number, fits: boolean, tried: number, say: Say): { readonly odds: string; readonly short: string } {
  const odds = say(sureInShort({ p: fits ? 0 : 1, q, tried, exceptions: fits ? 0 : 1 }));
  if (q <= SURE) return { odds, short: say(phrase('certain')) };
  if (q <= 0.5) return { odds, short: say(phrase('1 in {0}', twoDigitsBelow(1 / q))) };
  return { odds, short: say(fits ? phrase('fits all') : phrase('varies')) };
}

/** 4 for found beyond doubt, 1 for nothing to speak of. */
function levelOf(q: number): number {
  const index = LEVELS.findIndex((limit) => q <= limit);
  return index < 0 ? 1 : LEVELS.length + 1 - index;
}
