import type { Dice } from './dice.js';
import type { FormId } from './oracle/texts.js';

/** What people, editors and programs do to the text of a dump: typed digits, lost and doubled lines, other spacing. */
export function worn(dice: Dice, text: string, form: FormId, times: number): string {
  let lines = text.split('\n');
  for (let i = 0; i < times; i++) lines = wornOnce(dice, lines, form);
  const whole = lines.join(dice.once(8) ? '\r\n' : '\n');
  return dice.once(12) ? `\ufeff${whole}` : dice.once(12) ? whole.trimEnd() : whole;
}

function wornOnce(dice: Dice, lines: readonly string[], form: FormId): string[] {
  const rows = lines.flatMap((line, row) => (isRecord(line, form) ? row : []));
  if (rows.length === 0) return [...lines];
  const row = dice.pick(rows);
  const line = lines[row] ?? '';
  const after = (...put: readonly string[]) => [...lines.slice(0, row), ...put, ...lines.slice(row + 1)];
  switch (dice.int(0, 11)) {
    case 0:
      return after();
    case 1:
      return after(line, line);
    case 2:
      return after(lines[row + 1] ?? '', line).filter((_, i) => i !== row + 2);
    case 3:
      return after(line.toLowerCase());
    case 4:
      return after(` ${line}  `);
    case 5:
      return after(dice.pick(['; a remark', '# a remark', 'torn', '', '@note mine']), line);
    case 6:
      return after(line.slice(0, dice.int(0, line.length)));
    case 7:
      return after(typed(dice, line, dice.pick(['x', 'O', '', 'é'])));
    default:
      return after(typed(dice, line, dice.pick([...'0123456789ABCDEF'])));
  }
}

function isRecord(line: string, form: FormId): boolean {
  if (form === 'intel-hex') return line.startsWith(':');
  if (form === 's-record') return line.startsWith('S');
  return form.startsWith('pattern') ? line.startsWith('<') : /^\s*[\w-]+\s*:/.test(line);
}

/** Another character in place of one of the bytes' digits. */
function typed(dice: Dice, line: string, put: string): string {
  const start = /^(?::.{8}|S\d.{2}|<[^>]*>|[^:]*:)/.exec(line)?.[0].length ?? 0;
  if (start >= line.length) return line;
  const at = dice.int(start, line.length - 1);
  return line.slice(0, at) + put + line.slice(at + 1);
}
