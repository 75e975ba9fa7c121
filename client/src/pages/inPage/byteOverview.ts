// Runs in the page of the byte overview, not in the extension.
import type { ByteOverviewResult, OverviewLine } from '../../../../shared-core/src/index.js';
import type { FromOverview, OverviewWords, ToOverview } from './byteOverviewMessages.js';
import { fillRow, newRow } from './byteOverviewRows.js';

/** Sends a message to the extension; every page has it. */
declare const post: (message: FromOverview) => void;

/** Lines kept ready above and below those in sight. */
const SPARE = 12;

/** With more lines than these the bytes are drawn small, so that more of them can be seen at once. */
const MOST_ROOMY = 80;

/** Marks beside the scroll bar: more are drawn as one. */
const MOST_MARKS = 300;

interface Place {
  /** Of the lines, counted from 0. */
  readonly at: number;
  readonly byte: number;
}

function start(): void {
  const part = (id: string) => document.getElementById(id) as HTMLElement;
  const [scroll, grid, body, head] = [part('scroll'), part('grid'), part('rows'), part('head')];
  const [summary, side, ruler, small] = [part('summary'), part('side'), part('ruler'), part('small')];
  const lines = new Map<number, OverviewLine>();
  const rows = new Map<number, HTMLElement>();
  let words: OverviewWords | undefined;
  let map: ByteOverviewResult | undefined;
  let chosenSmall: boolean | undefined;
  let active: Place = { at: 0, byte: 0 };
  let cursor: (Place & { readonly row: number }) | undefined;
  let focusWanted = false;
  let asked = '';
  let asking: ReturnType<typeof setTimeout> | undefined;

  const isSmall = () => chosenSmall ?? (map?.total ?? 0) > MOST_ROOMY;
  const height = () => (isSmall() ? 12 : 26);
  /** What is in sight is drawn; what is not known of it yet is asked for. */
  const draw = (): void => {
    const total = map?.total ?? 0;
    document.body.classList.toggle('small', isSmall());
    small.setAttribute('aria-pressed', String(isSmall()));
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
        fillRow(row, line, words, {
          active: at === active.at ? active.byte : -1,
          here: line.row === cursor?.row ? cursor.byte : -1,
        });
    }
    if (unknown) ask(first, last - first + 1);
    if (focusWanted) focusActive();
  };

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

  const bringIntoSight = (at: number): void => {
    const top = at * height();
    const room = scroll.clientHeight - head.offsetHeight - height();
    if (top < scroll.scrollTop) scroll.scrollTop = top;
    else if (top > scroll.scrollTop + room) scroll.scrollTop = top - room;
  };

  const moveTo = (at: number, byte: number): void => {
    const total = map?.total ?? 0;
    const next = Math.min(Math.max(at, 0), total - 1);
    const length = Math.max(1, lines.get(next)?.roles.length ?? Number.POSITIVE_INFINITY);
    active = { at: next, byte: Math.min(Math.max(byte, 0), length - 1) };
    focusWanted = true;
    bringIntoSight(next);
    draw();
  };

  const tell = (place: Place | undefined): void => {
    clearTimeout(asking);
    const line = place && lines.get(place.at);
    if (place === undefined || line === undefined || line.roles === '') return;
    asking = setTimeout(() => post({ says: 'byte', row: line.row, byte: place.byte }), 60);
  };
  const go = ({ at, byte }: Place): void => {
    const line = lines.get(at);
    if (line !== undefined) post({ says: 'go', row: line.row, byte });
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

  const drawHead = (widest: number): void => {
    if (head.children.length >= widest + 1) return;
    const titles = Array.from({ length: widest }, (_, byte) => {
      const title = document.createElement('span');
      title.setAttribute('role', 'columnheader');
      title.className = 'number';
      title.textContent = String(byte + 1);
      return title;
    });
    head.replaceChildren(...[...head.children].slice(0, 1), ...titles);
    grid.setAttribute('aria-colcount', String(widest + 1));
  };

  const take = (told: ToOverview): void => {
    if (told.says === 'words') words = told.words;
    else if (told.says === 'changed') {
      if (told.name === null) {
        map = undefined;
        lines.clear();
        summary.textContent = words?.noDump ?? '';
        side.replaceChildren();
        draw();
        return;
      }
      part('title').textContent = told.name;
      asked = '';
      const first = Math.max(0, Math.floor(scroll.scrollTop / height()) - SPARE);
      ask(first, Math.ceil(scroll.clientHeight / height()) + 2 * SPARE);
    } else if (told.says === 'lines') {
      map = told.map;
      asked = '';
      lines.clear();
      told.map.lines.forEach((line, i) => {
        lines.set(told.map.from + i, line);
      });
      summary.textContent = told.map.summary.join(' · ');
      grid.setAttribute('aria-rowcount', String(told.map.total + 1));
      drawHead(told.map.widest);
      drawRuler(told.map);
      draw();
    } else if (told.says === 'byte') {
      side.replaceChildren(
        ...told.found.lines.map((text, i) => {
          const line = document.createElement(i === 0 ? 'h2' : 'p');
          line.textContent = text;
          return line;
        }),
      );
    } else {
      cursor = told;
      if (!document.hasFocus()) {
        active = told;
        bringIntoSight(told.at);
        clearTimeout(asking);
        post({ says: 'byte', row: told.row, byte: told.byte });
      }
      draw();
    }
  };

  window.addEventListener('message', ({ data }: MessageEvent<ToOverview>) => take(data));
  window.addEventListener('resize', draw);
  scroll.addEventListener('scroll', draw);
  small.addEventListener('click', () => {
    const first = scroll.scrollTop / height();
    chosenSmall = !isSmall();
    scroll.scrollTop = 0;
    draw();
    scroll.scrollTop = first * height();
    draw();
  });
  ruler.addEventListener('click', ({ offsetY }) => {
    scroll.scrollTop = (offsetY / ruler.clientHeight) * (map?.total ?? 0) * height() - scroll.clientHeight / 2;
  });
  grid.addEventListener('pointerover', ({ target }) => tell(placeOf(target)));
  grid.addEventListener('pointerleave', () => tell(active));
  grid.addEventListener('focusin', ({ target }) => {
    const place = placeOf(target);
    if (place === undefined) return;
    cellAt(active)?.setAttribute('tabindex', '-1');
    active = place;
    cellAt(active)?.setAttribute('tabindex', '0');
    tell(place);
  });
  grid.addEventListener('click', ({ target }) => {
    const place = placeOf(target);
    if (place !== undefined) go(place);
  });
  grid.addEventListener('keydown', (event) => {
    const { at, byte } = active;
    const page = Math.max(1, Math.floor(scroll.clientHeight / height()) - 2);
    const all = event.ctrlKey || event.metaKey;
    const last = Number.POSITIVE_INFINITY;
    const moves: Readonly<Record<string, () => void>> = {
      ArrowUp: () => moveTo(at - 1, byte),
      ArrowDown: () => moveTo(at + 1, byte),
      ArrowLeft: () => moveTo(at, byte - 1),
      ArrowRight: () => moveTo(at, byte + 1),
      PageUp: () => moveTo(at - page, byte),
      PageDown: () => moveTo(at + page, byte),
      Home: () => moveTo(all ? 0 : at, 0),
      End: () => moveTo(all ? last : at, last),
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
