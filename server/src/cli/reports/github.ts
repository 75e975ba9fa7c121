import type { Phrase } from '../../../../shared-core/src/base/index.js';
import { sayOnTerminal } from '../say.js';
import { type Reported, UNCHECKED, UNREAD } from './report.js';

const LEVELS = { error: 'error', warning: 'warning', information: 'notice' } as const;

type Level = (typeof LEVELS)[keyof typeof LEVELS];

/** Problems as annotations in the log of a workflow, a line each; nothing else, as a line may not begin with a name. */
export function annotations(files: readonly Reported[]): string {
  return files
    .flatMap(({ name, problems, unread, unchecked }) => [
      ...(unread === undefined ? [] : [annotation('error', { file: name, title: UNREAD }, unread)]),
      ...problems.map(({ file = name, severity, code, message, row, start, endRow = row, end }) => {
        const place = { file, line: row + 1, endLine: endRow + 1 };
        // Columns are understood within one line only.
        const columns = endRow === row ? { col: start + 1, endColumn: end + 1 } : {};
        return annotation(LEVELS[severity], { ...place, ...columns, title: code }, message);
      }),
      ...unchecked.map((what) => annotation('warning', { file: name, title: UNCHECKED }, what)),
    ])
    .join('');
}

/** `::name key=value,key=value::message`, in which some characters are written by their codes (actions/toolkit, command.ts). */
function annotation(level: Level, values: Readonly<Record<string, string | number>>, message: Phrase): string {
  const written = Object.entries(values).map(([key, value]) => `${key}=${escapedValue(String(value))}`);
  return `::${level} ${written.join(',')}::${escapedMessage(sayOnTerminal(message))}\n`;
}

export function escapedMessage(text: string): string {
  return text.replaceAll('%', '%25').replaceAll('\r', '%0D').replaceAll('\n', '%0A');
}

export function escapedValue(text: string): string {
  return escapedMessage(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
