import {
  type Dump,
  type HeaderName,
  type HeaderPlace,
  headerOf,
  isImage,
  lineEndOf,
} from '../../shared-core/src/index.js';

/**
 * Where a header that a dump lacks goes: the profile before all else, others behind it. Programs that read images stop
 * at the end record, and most of them at any line that is no record: there it is behind everything.
 */
export function placeForHeader(dump: Dump, name: HeaderName): Omit<HeaderPlace, 'version'> {
  const lineEnd = lineEndOf(dump.rows);
  if (!isImage(dump.notation)) {
    const line = name === 'profile' ? 0 : (headerOf(dump, 'profile')?.row ?? -1) + 1;
    return { line, column: 0, before: `@${name} `, after: lineEnd };
  }
  const line = dump.rows.length - 1;
  const last = dump.rows[line]?.text ?? '';
  const open = last !== '' && !/[\r\n]$/.test(last) ? lineEnd : '';
  return { line, column: last.length, before: `${open}${dump.notation.commentSign} @${name} `, after: lineEnd };
}
