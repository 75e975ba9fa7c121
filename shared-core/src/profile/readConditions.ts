import { phrase } from '../base/phrase.js';
import { isObject, items, type JsonValue, knownKeys, member, missing, spanOf, text, whole, wrong } from './json.js';
import type { Condition } from './profile.js';

/** Whether a text can be the id of an option. */
export function isOptionId(text: string): boolean {
  return /^[\w.-]+$/.test(text);
}

/** Conditions of an option on others: those that could be read. */
export function readConditions(list: JsonValue | undefined): readonly Condition[] {
  return items(list).flatMap((value) => {
    if (!isObject(value)) return [];
    knownKeys(value, ['profile', 'option', 'in']);
    const option = text(member(value, 'option'));
    if (option === undefined) {
      if (member(value, 'option') === undefined)
        missing(value, phrase('"option" is missing: the id of the other option.'));
      return [];
    }
    if (!isOptionId(option))
      wrong(member(value, 'option') ?? value, phrase('"{0}" can be no id of an option.', option));
    if (member(value, 'in') === undefined) {
      missing(value, phrase('"in" is missing: the values of the other option that are meant.'));
      return [];
    }
    const among = readNumbers(member(value, 'in'));
    const path = member(value, 'profile');
    const profile = readPath(path);
    // A path that cannot be read does not make it an option of this profile.
    if (path !== undefined && profile === undefined) return [];
    return [{ profile, option, in: among, source: spanOf(value.node) }];
  });
}

function readPath(value: JsonValue | undefined): string | undefined {
  const path = text(value);
  if (value === undefined || path?.trim() !== '') return path;
  return wrong(value, phrase('This path is empty: name the profile of the other module.'));
}

/** Whole numbers, each once, and at least one. */
function readNumbers(list: JsonValue | undefined): readonly number[] {
  const numbers = new Set<number>();
  const all = items(list);
  if (list?.node.type === 'array' && all.length === 0)
    wrong(list, phrase('This list is empty: name the values that are meant.'));
  for (const value of all) {
    const number = whole(value);
    if (number === undefined) continue;
    if (numbers.has(number)) wrong(value, phrase('"{0}" is given twice here: remove one of them.', number));
    numbers.add(number);
  }
  return [...numbers];
}
