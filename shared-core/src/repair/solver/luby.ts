/**
 * How long the turns of a search are that begins elsewhere each time, from 1 on: 1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8 …
 * Each second turn of a length is followed by one twice as long (Luby, Sinclair and Zuckerman 1993).
 */
export function luby(turn: number): number {
  const whole = 2 ** Math.ceil(Math.log2(turn + 1));
  return whole === turn + 1 ? whole / 2 : luby(turn + 1 - whole / 2);
}
