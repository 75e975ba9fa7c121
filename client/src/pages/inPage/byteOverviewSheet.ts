import type { FromOverview, Place } from './byteOverviewMessages.js';

/** A byte is asked for once a person stays at it, in milliseconds. */
const PAUSE = 60;

/** The sheet beside the bytes: in words what one byte is, and of no other byte than the one that is asked for last. */
export interface Sheet {
  readonly ask: (place: Place) => void;
  readonly take: (place: Place, lines: readonly string[]) => void;
  readonly clear: () => void;
}

export function createSheet(side: HTMLElement, post: (message: FromOverview) => void): Sheet {
  let wanted: Place | undefined;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  return {
    ask: (place) => {
      wanted = place;
      clearTimeout(waiting);
      waiting = setTimeout(() => post({ says: 'byte', at: place.at, byte: place.byte }), PAUSE);
    },
    take: ({ at, byte }, lines) => {
      if (at !== wanted?.at || byte !== wanted.byte) return;
      side.replaceChildren(
        ...lines.map((text, i) => {
          const line = document.createElement(i === 0 ? 'h2' : 'p');
          line.textContent = text;
          return line;
        }),
      );
    },
    clear: () => {
      wanted = undefined;
      clearTimeout(waiting);
      side.replaceChildren();
    },
  };
}
