/** Where characters of a text were found: the unit of what was searched, and which character of the text it is. */
export interface Hit {
  readonly at: number;
  readonly character: number;
}

/** How a text is looked for in units: bytes, halves of bytes, or the characters of another text. */
export interface Look {
  /** At least so many characters of the text side by side count. */
  readonly least: number;
  /** From last to first. */
  readonly reversed?: boolean;
  /** Units of a character: with two, the one that is no zero is the first, or the second; or what is between is anything. */
  readonly wide?: 'little' | 'big' | 'any';
  /** What makes a unit the code of a character; done twice it changes nothing. */
  readonly turn?: (unit: number) => number;
}

/** Parts of a text with fewer different characters than this are found anywhere. */
export const LEAST_DIFFERENT = 3;

/**
 * Where a text, or a part of it, is found in units, in capitals or small letters. Parts that say too little count only as
 * the whole text.
 */
export function hitsIn(units: ArrayLike<number>, text: string, look: Look): readonly Hit[] {
  const codes = Array.from(text, (character) => capital(character.charCodeAt(0)));
  const wanted = look.reversed === true ? [...codes].reverse() : codes;
  const starts = windowsOf(wanted, look.least);
  if (starts.length === 0) return [];
  const size = Math.min(look.least, wanted.length);
  const step = look.wide === undefined ? 1 : 2;
  const first = new Map<number, number[]>();
  for (const start of starts)
    first.set(wanted[start] as number, [...(first.get(wanted[start] as number) ?? []), start]);
  const isAt = (at: number, index: number) => characterAt(units, at, look) === wanted[index];
  const hits: Hit[] = [];
  let done = 0;
  // Nothing need follow the last one where anything may be between.
  const needed = size * step - (look.wide === 'any' ? 1 : 0);
  for (let at = 0; at + needed <= units.length; at++) {
    const code = characterAt(units, at, look);
    for (const start of (code === undefined ? undefined : first.get(code)) ?? []) {
      let count = 1;
      while (count < size && isAt(at + count * step, start + count)) count++;
      if (count < size) continue;
      let before = 0;
      while (before < start && at - (before + 1) * step >= done && isAt(at - (before + 1) * step, start - before - 1))
        before++;
      while (start + count < wanted.length && isAt(at + count * step, start + count)) count++;
      for (let i = -before; i < count; i++) {
        const index = start + i;
        hits.push({
          at: at + i * step + (look.wide === 'big' ? 1 : 0),
          character: look.reversed === true ? wanted.length - 1 - index : index,
        });
      }
      done = at + count * step;
      at = done - 1;
      break;
    }
  }
  return hits;
}

/** The first characters of all parts of a text that say enough. */
function windowsOf(wanted: readonly number[], least: number): readonly number[] {
  const size = Math.min(least, wanted.length);
  const all = Array.from({ length: wanted.length - size + 1 }, (_, start) => start);
  const telling = all.filter((start) => new Set(wanted.slice(start, start + size)).size >= LEAST_DIFFERENT);
  if (telling.length > 0) return telling;
  return size === wanted.length && size > 0 ? [0] : [];
}

function characterAt(units: ArrayLike<number>, at: number, { wide, turn }: Look): number | undefined {
  const read = (index: number) => {
    const unit = units[index];
    return unit === undefined || turn === undefined ? unit : turn(unit);
  };
  if (wide === undefined || wide === 'any') return capitalOrNone(read(at));
  const [code, other] = wide === 'little' ? [read(at), read(at + 1)] : [read(at + 1), read(at)];
  return other === 0 ? capitalOrNone(code) : undefined;
}

function capitalOrNone(code: number | undefined): number | undefined {
  return code === undefined ? undefined : capital(code);
}

/** The capital of a letter of any language that has one in a single unit. */
function capital(code: number): number {
  if (code < 0x80) return code >= 0x61 && code <= 0x7a ? code - 0x20 : code;
  const upper = String.fromCharCode(code).toUpperCase();
  return upper.length === 1 ? upper.charCodeAt(0) : code;
}
