import {
  hex,
  isOfImages,
  type Label,
  type OptionMap,
  type OptionSearch,
  oddsInShort,
  oddsInWords,
  type Phrase,
  rounded,
} from '../../shared-core/src/index.js';

/** With more lines than these, those in which nothing varies are left out. */
const MOST_LINES = 200;

/** Up to which q a byte is as striking as that: beyond doubt, found, possible. */
const LEVELS = [0.001, 0.05, 0.25];

/** The dumps' bytes line by line, each with the lowest q of the places in it. */
export function optionMap(search: OptionSearch, say: (said: Phrase) => string): OptionMap {
  const { places } = search.matrix;
  const lines = new Map<Label, OptionMap['rows'][number]['cells'][number][]>();
  places.forEach(({ line, byte }, column) => {
    const q = search.rates[column];
    const said =
      q === undefined
        ? { q: null, odds: null, short: null }
        : { q: say(rounded(q)), odds: say(oddsInWords(q)), short: say(oddsInShort(q)) };
    const cell = { byte, ...said, level: q === undefined ? 0 : levelOf(q) };
    lines.set(line, [...(lines.get(line) ?? []), cell]);
  });
  const all = [...lines].map(([line, cells]) => ({
    label: isOfImages(search) ? hex(Number(line), 4) : String(line),
    cells,
  }));
  const rows = all.length <= MOST_LINES ? all : all.filter(({ cells }) => cells.some(({ q }) => q !== null));
  const shown = rows.slice(0, MOST_LINES);
  const columns = shown.reduce((most, { cells }) => Math.max(most, cells.at(-1)?.byte ?? 0), 0);
  return { columns, rows: shown, left: all.length - shown.length };
}

/** 4 for found beyond doubt, 1 for nothing to speak of. */
function levelOf(q: number): number {
  const index = LEVELS.findIndex((limit) => q <= limit);
  return index < 0 ? 1 : LEVELS.length + 1 - index;
}
