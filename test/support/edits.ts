import assert from 'node:assert/strict';
import { setOptions } from '../../shared-core/src/actions/setOptions.js';
import { say } from '../../shared-core/src/base/index.js';
import { textOfRows } from '../../shared-core/src/format/index.js';
import type { Dump } from '../../shared-core/src/model/index.js';
import { dumpOf } from './demo.js';
import { loaded, SOUND } from './loaded.js';

/** A dump with an option set in words and all sums kept right. */
export function set(dump: Dump, id: string, words: string): Dump {
  const change = setOptions(loaded(dump, SOUND), [{ id, to: { written: words } }], {
    despite: conditionsOf(dump),
    elsewhere: true,
  });
  assert.ok(change.ok, change.ok ? '' : say(change.why));
  return change.value.after;
}

/** A dump of lines after a change of its text. */
export function edited(dump: Dump, change: (text: string) => string): Dump {
  return dumpOf(change(textOfRows(dump.rows)), dump.profile);
}

/** A dump in work: without the seal and the time of what was found. */
export function unsealed(dump: Dump): Dump {
  return edited(dump, (text) => text.replace(/^@(?:seal|taken).*\n/gm, ''));
}

/** Ids of all options that conditions of a dump's profile mention: whoever accepts these accepts any value. */
export function conditionsOf({ profile }: Dump): readonly string[] {
  return profile.options.flatMap(({ needs, excludes }) => [...needs, ...excludes].map(({ option }) => option));
}
