// Runs in the page of the byte overview, not in the extension.
import type { ByteOverviewResult, OverviewLine } from '../../../../shared-core/src/protocol/byteOverview.js';
import { layoutOf, type OverviewLayout, vertically } from './byteOverviewLayout.js';
import type { FromOverview, OverviewWords, Place, ToOverview } from './byteOverviewMessages.js';
import { fillRow, newRow } from './byteOverviewRows.js';
import { createSheet } from './byteOverviewSheet.js';

/** Sends a message to the extension; every page has it. */
declare const post: (message: FromOverview) => void;

/** Keeps what a person chose in this page while it is out of sight; every page has it. */
declare const editor: { readonly getState: () => Chosen | undefined; readonly setState: (state: Chosen) => void };

interface Chosen {
  readonly small?: boolean;
  /** Whether it is told what the signs of the bytes mean. */
  readonly key?: boolean;
}

/** A page that is lower or narrower than this, in pixels, has no room for the key. */
const [LOW, NARROW] = [480, 320];

/** Lines kept ready above and below those in sight. */
const SPARE = 12;

/** With more lines than these the bytes are drawn small, so that more of them can be seen at once. */
const MOST_ROOMY = 80;

/** Marks beside the scroll bar: more are drawn as one. */
const MOST_MARKS = 300;

function start(): void {
  const part = (id: string) => document.getElementById(id) as HTMLElement;
  const [scroll, grid, body, head] = [part('scroll'), part('grid'), part('rows'), part('head')];
  const [summary, ruler, small, names] = [part('summary'), part('ruler'), part('small'), part('names')];
  const key = part('key') as HTMLDetailsElement;
  const sheet = createSheet(part('side'), post);
  const lines = new Map<number, OverviewLine>();
  const rows = new Map<number, HTMLElement>();
  let chosen: Chosen = editor.getState() ?? {};
  let words: OverviewWords | undefined;
  let map: ByteOverviewResult | undefined;
  let widest = 0;
  let active: Place = { at: 0, byte: 0 };
  /** What the pointer is at, until the cursor or a key goes elsewhere. */
  let pointed: Place | undefined;
  let cursor: Place | undefined;
  let pointer = '';
  let focusWanted = false;
  let asked = '';

  const choose = (more: Chosen): void => {
    chosen = { ...chosen, ...more };
    editor.setState(chosen);
  };
  const isSmall = () => chosen.small ?? (map?.total ?? 0) > MOST_ROOMY;
  let layout: OverviewLayout = layoutOf(0, 0, false);
  const height = () => layout.parts * layout.step;
  const byteIn = (place: Place | undefined, at: number) => (place?.at === at ? place.byte : -1);

  /** What is in sight is drawn; what is not known of it yet is asked for. */
  const draw = (): void => {
    const total = map?.total ?? 0;
    document.body.classList.toggle('small', isSmall());
    small.setAttribute('aria-pressed', String(isSmall()));
    layout = layoutOf(scroll.clientWidth - names.offsetWidth, widest, isSmall());
    grid.style.setProperty('--columns', String(layout.columns));
    grid.style.setProperty('--parts', String(layout.parts));
    drawHead(layout.columns);
    body.style.height = `${total * height()}px`;
    const first = Math.max(0, Math.floor(scroll.scrollTop / height()) - SPARE);
    const last = Math.min(total, first + Math.ceil(scroll.clientHeight / height()) + 2 * SPARE) - 1;
    for (const [at, row] of rows) {
      if (at >= first && at <= last) continue;
      row.remove();
      rows.delete(at);
    }
    let unknown = false;
    for (let at = first; at <= last; at++) {
      const row = rows.get(at) ?? addRow(at);
      row.style.top = `${at * height()}px`;
      const line = lines.get(at);
      if (line === undefined) unknown = true;
      else
        fillRow(row, line, {
          columns: layout.columns,
          active: byteIn(active, at),
          shown: byteIn(pointed ?? active, at),
          here: byteIn(cursor, at),
          rows: map?.rows ?? 'lines',
          words,
        });
    }
    if (unknown) ask(first, last - first + 1);
    if (focusWanted) focusActive();
  };

  /** The byte that is framed is the one that the sheet is about. */
  const tell = (): void => sheet.ask(pointed ?? active);

  const ask = (from: number, count: number): void => {
    const wanted = `${from} ${count}`;
    if (wanted === asked) return;
    asked = wanted;
    post({ says: 'lines', from, count });
  };

  const addRow = (at: number): HTMLElement => {
    const row = newRow(at);
    // Rows stand in their order, as that is the order in which they are read out.
    const next = [...rows].filter(([other]) => other > at).sort(([x], [y]) => x - y)[0]?.[1];
    body.insertBefore(row, next ?? null);
    rows.set(at, row);
    return row;
  };

  const cellAt = ({ at, byte }: Place) => rows.get(at)?.children[byte + 1] as HTMLElement | undefined;
  const placeOf = (target: EventTarget | null): Place | undefined => {
    const cell = target instanceof Element ? target.closest('.cell') : null;
    const row = cell?.parentElement;
    if (!cell || !row || !body.contains(row)) return undefined;
    return { at: Number(row.getAttribute('aria-rowindex')) - 2, byte: [...row.children].indexOf(cell) - 1 };
  };

  const focusActive = (): void => {
    const cell = cellAt(active);
    if (cell === undefined || !lines.has(active.at)) return;
    focusWanted = false;
    cell.focus({ preventScroll: true });
    cell.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  };

  const bringIntoSight = ({ at, byte }: Place): void => {
    const top = at * height() + Math.floor(byte / layout.columns) * layout.step;
    const room = scroll.clientHeight - head.offsetHeight - layout.step;
    if (top < scroll.scrollTop) scroll.scrollTop = top;
    else if (top > scroll.scrollTop + room) scroll.scrollTop = top - room;
  };

  const lengthOf = (at: number): number | undefined => {
    if (at < 0 || at >= (map?.total ?? 0)) return undefined;
    return Math.max(1, lines.get(at)?.roles.length ?? widest);
  };
  const select = (place: Place): void => {
    active = place;
    pointed = undefined;
    tell();
  };
  const moveTo = ({ at, byte }: Place): void => {
    const next = Math.min(Math.max(at, 0), (map?.total ?? 1) - 1);
    select({ at: next, byte: Math.min(Math.max(byte, 0), (lengthOf(next) ?? 1) - 1) });
    focusWanted = true;
    bringIntoSight(active);
    draw();
  };
  const go = ({ at, byte }: Place): void => {
    if (lines.has(at)) post({ says: 'go', at, byte });
  };

  const drawRuler = ({ total, marked }: ByteOverviewResult): void => {
    const marks = new Map<number, boolean>();
    for (const { at, wrong } of marked) {
      const place = Math.floor((at / total) * MOST_MARKS);
      marks.set(place, wrong || (marks.get(place) ?? false));
    }
    ruler.replaceChildren(
      ...[...marks].map(([place, wrong]) => {
        const mark = document.createElement('span');
        mark.className = wrong ? 'mark wrong' : 'mark';
        mark.style.top = `${(place / MOST_MARKS) * 100}%`;
        return mark;
      }),
    );
  };

  const drawHead = (columns: number): void => {
    if (head.children.length === columns + 1) return;
    const titles = Array.from({ length: columns }, (_, byte) => {
      const title = document.createElement('span');
      title.setAttribute('role', 'columnheader');
      title.className = 'number';
      title.textContent = String(byte + 1);
      return title;
    });
    head.replaceChildren(names, ...titles);
  };

  const takeLines = (told: ByteOverviewResult): void => {
    map = told;
    asked = '';
    lines.clear();
    told.lines.forEach((line, i) => {
      lines.set(told.from + i, line);
    });
    widest = Math.max(widest, told.widest);
    names.textContent = words?.heads[told.rows] ?? '';
    const longest = Math.max(...told.lines.map(({ label }) => label.length), 1);
    grid.style.setProperty('--longest', String(longest));
    grid.style.setProperty('--heading', String(names.textContent?.length ?? 0));
    summary.textContent = told.summary.join(' · ');
    grid.setAttribute('aria-rowcount', String(told.total + 1));
    grid.setAttribute('aria-colcount', String(widest + 1));
    for (const entry of key.querySelectorAll('li'))
      entry.hidden = !told.kinds.includes(entry.querySelector('.cell')?.getAttribute('data-role') ?? '');
    drawRuler(told);
    draw();
  };

  const take = (told: ToOverview): void => {
    if (told.says === 'words') words = told.words;
    else if (told.says === 'changed') {
      if (told.name === null) {
        map = undefined;
        lines.clear();
        summary.textContent = words?.noDump ?? '';
        sheet.clear();
        draw();
        return;
      }
      if (part('title').textContent !== told.name) {
        part('title').textContent = told.name;
        [widest, active, pointed, cursor] = [0, { at: 0, byte: 0 }, undefined, undefined];
      }
      asked = '';
      const first = Math.max(0, Math.floor(scroll.scrollTop / height()) - SPARE);
      ask(first, Math.ceil(scroll.clientHeight / layout.step) + 2 * SPARE);
      tell();
    } else if (told.says === 'lines') takeLines(told.map);
    else if (told.says === 'byte') sheet.take(told, told.lines);
    else {
      const { place } = told;
      const isMoved = place?.at !== cursor?.at || place?.byte !== cursor?.byte;
      cursor = place ?? undefined;
      if (place && isMoved && !document.hasFocus()) {
        select(place);
        bringIntoSight(place);
      }
      draw();
    }
  };

  window.addEventListener('message', ({ data }: MessageEvent<ToOverview>) => take(data));
  window.addEventListener('resize', () => {
    showKey();
    draw();
  });
  scroll.addEventListener('scroll', draw);
  small.addEventListener('click', () => {
    const first = scroll.scrollTop / height();
    choose({ small: !isSmall() });
    scroll.scrollTop = 0;
    draw();
    scroll.scrollTop = first * height();
    draw();
  });
  const showKey = (): void => {
    key.open = chosen.key ?? (window.innerHeight >= LOW && window.innerWidth >= NARROW);
  };
  showKey();
  // A person has chosen where they press it; what follows from the room is no choice.
  key.querySelector('summary')?.addEventListener('click', () => choose({ key: !key.open }));
  key.addEventListener('toggle', draw);
  ruler.addEventListener('click', ({ offsetY }) => {
    scroll.scrollTop = (offsetY / ruler.clientHeight) * (map?.total ?? 0) * height() - scroll.clientHeight / 2;
  });
  const point = (place: Place | undefined): void => {
    pointed = place;
    tell();
    draw();
  };
  // What moves under a pointer that rests is not pointed at.
  grid.addEventListener('pointermove', ({ target, clientX, clientY }) => {
    const place = placeOf(target);
    const isSame = pointer === `${clientX} ${clientY}` || (place?.at === pointed?.at && place?.byte === pointed?.byte);
    pointer = `${clientX} ${clientY}`;
    if (place !== undefined && !isSame) point(place);
  });
  grid.addEventListener('pointerleave', () => point(undefined));
  grid.addEventListener('focusin', ({ target }) => {
    const place = placeOf(target);
    if (place === undefined) return;
    select(place);
    draw();
  });
  grid.addEventListener('click', ({ target }) => {
    const place = placeOf(target);
    if (place !== undefined) go(place);
  });
  grid.addEventListener('keydown', (event) => {
    const { at, byte } = active;
    const page = Math.max(1, Math.floor(scroll.clientHeight / layout.step) - 2);
    const all = event.ctrlKey || event.metaKey;
    const last = Number.POSITIVE_INFINITY;
    const down = (by: number) => () => moveTo(vertically(active, by, layout, lengthOf));
    const moves: Readonly<Record<string, () => void>> = {
      ArrowUp: down(-1),
      ArrowDown: down(1),
      ArrowLeft: () => moveTo({ at, byte: byte - 1 }),
      ArrowRight: () => moveTo({ at, byte: byte + 1 }),
      PageUp: down(-page),
      PageDown: down(page),
      Home: () => moveTo({ at: all ? 0 : at, byte: 0 }),
      End: () => moveTo({ at: all ? last : at, byte: last }),
      Enter: () => go(active),
      ' ': () => go(active),
    };
    const move = moves[event.key];
    if (move === undefined) return;
    event.preventDefault();
    move();
  });
  post({ says: 'ready' });
}

start();
