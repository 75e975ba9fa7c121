import { phrase } from '../base/phrase.js';
import { isObject, items, type JsonValue, knownKeys, mapEntries, member, missing, text, wrong } from './json.js';
import type { Sample } from './profile.js';

/** Dumps that show that the profile is right. `options` are the ids of those that it may expect something of. */
export function readSamples(list: JsonValue | undefined, options: readonly string[]): readonly Sample[] {
  const known = new Set(options);
  return items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, ['dump', 'expect']);
    const at = member(value, 'dump');
    if (at === undefined) missing(value, phrase('"dump" is wanted here: the path of a dump, seen from this profile.'));
    const dump = text(at);
    if (at !== undefined && dump?.trim() === '') wrong(at, phrase('This path is empty. Name a dump.'));
    const expect = readExpected(member(value, 'expect'), known);
    return dump === undefined || dump.trim() === '' ? [] : [{ dump, expect }];
  });
}

function readExpected(map: JsonValue | undefined, known: ReadonlySet<string>): Sample['expect'] {
  const expect = new Map<string, string>();
  if (map === undefined || !isObject(map)) return expect;
  for (const [id, value, key] of mapEntries(map)) {
    const written = text(value);
    if (!known.has(id)) wrong(key, phrase('There is no option "{0}".', id));
    else if (written !== undefined) expect.set(id, written);
  }
  return expect;
}
