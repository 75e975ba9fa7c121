import { phrase } from '../base/phrase.js';
import { isObject, items, type JsonValue, knownKeys, member, missing, text, wrong } from './json.js';
import type { AppliesTo } from './profile.js';

/** The modules that a profile is for; undefined, with a problem where it says something else, where it does not say. */
export function readAppliesTo(value: JsonValue | undefined): AppliesTo | undefined {
  if (value === undefined || !isObject(value)) return undefined;
  knownKeys(value, ['part', 'software']);
  const [part, software] = [member(value, 'part'), member(value, 'software')];
  if (part === undefined && software === undefined)
    return missing(value, phrase('"part" or "software" is wanted here: a list of patterns such as "RB-20??-*".'));
  return { part: readPatterns(part), software: readPatterns(software) };
}

function readPatterns(list: JsonValue | undefined): readonly string[] {
  const all = items(list);
  if (list?.node.type === 'array' && all.length === 0)
    wrong(list, phrase('This list is empty: give patterns such as "RB-20??-*", or leave it out.'));
  return all.flatMap((value) => {
    const pattern = text(value);
    if (pattern?.trim() === '') wrong(value, phrase('This pattern is empty: "*" is any text, "?" any character.'));
    return pattern ?? [];
  });
}
