import assert from 'node:assert/strict';
import { afterWrites, type Dump, readOptionValue, setOptions, textOfRows } from '../../shared-core/src/index.js';
import { dumpOf } from './demo.js';

/** A dump with an option set in words and all sums kept right. */
export function set(dump: Dump, id: string, words: string): Dump {
  const option = dump.profile.options.find((one) => one.id === id);
  assert.ok(option);
  const value = readOptionValue(option, words);
  assert.ok(value.ok);
  const repair = setOptions(dump, [{ option, raw: value.value }]);
  assert.ok(repair.ok);
  return afterWrites(dump, repair.value.writes);
}

/** A dump of lines after a change of its text. */
export function edited(dump: Dump, change: (text: string) => string): Dump {
  return dumpOf(change(textOfRows(dump.rows)), dump.profile);
}

/** A dump in work: without the seal and the time of what was found. */
export function unsealed(dump: Dump): Dump {
  return edited(dump, (text) => text.replace(/^@(?:seal|taken).*\n/gm, ''));
}
