import {
  afterWrites,
  type ByteWrite,
  bind,
  cautionsOfChange,
  type Dump,
  readRows,
  type TextEdit,
  textAfter,
} from '../../shared-core/src/index.js';
import type { Session } from './session.js';

/** What a person must know before bytes are written. */
export function cautionsOfWrites({ say }: Pick<Session, 'say'>, dump: Dump, writes: readonly ByteWrite[]): string[] {
  return cautionsOfChange(dump, afterWrites(dump, writes)).map(say);
}

/** What a person must know before a text is edited. */
export function cautionsOfEdits({ say }: Pick<Session, 'say'>, dump: Dump, edits: readonly TextEdit[]): string[] {
  const after = bind(readRows(textAfter(dump.rows, edits), dump.notation), dump.notation, dump.profile);
  return cautionsOfChange(dump, after).map(say);
}
