import type { Dice } from './dice.js';

/** What can be wrong with a profile, and where. */
export interface ProfileFault {
  readonly kind: 'misspelled' | 'doubled' | 'wrong type';
  /** The keys that lead to the faulty one. */
  readonly path: readonly (string | number)[];
}

/** All faults of these kinds that a profile can have: one of each kind for each of its keys. */
export function faultsOf(profile: unknown): readonly ProfileFault[] {
  return pathsOf(profile).flatMap((path): readonly ProfileFault[] => {
    const isKey = typeof path.at(-1) === 'string';
    const wrongType = { kind: 'wrong type', path } as const;
    return isKey ? [{ kind: 'misspelled', path }, { kind: 'doubled', path }, wrongType] : [wrongType];
  });
}

type Path = readonly (string | number)[];

function pathsOf(value: unknown, path: Path = []): readonly Path[] {
  if (typeof value !== 'object' || value === null) return [];
  const members = Array.isArray(value) ? [...value.entries()] : Object.entries(value);
  return members.flatMap(([key, inner]: [string | number, unknown]) => [
    [...path, key],
    ...pathsOf(inner, [...path, key]),
  ]);
}

/** The profile as JSON with a fault in it. */
export function faultyProfile(dice: Dice, profile: unknown, fault: ProfileFault): string {
  return JSON.stringify(faulty(dice, profile, fault.path, fault.kind), null, 2).replace(/"~again~/g, '"');
}

function faulty(dice: Dice, value: unknown, path: Path, kind: ProfileFault['kind']): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return otherType(dice, value);
  if (Array.isArray(value)) return value.map((inner, i) => (i === key ? faulty(dice, inner, rest, kind) : inner));
  return Object.fromEntries(
    Object.entries(Object(value)).flatMap(([name, inner]): readonly (readonly [string, unknown])[] => {
      if (name !== key) return [[name, inner]];
      if (rest.length > 0 || kind === 'wrong type') return [[name, faulty(dice, inner, rest, kind)]];
      if (kind === 'misspelled') return [[misspelled(dice, name), inner]];
      const again = [`~again~${name}`, dice.once(2) ? inner : otherType(dice, inner)] as const;
      return dice.once(2) ? [[name, inner], again] : [again, [name, inner]];
    }),
  );
}

/** A key with a slip of the finger in it, which is no key of any profile. */
function misspelled(dice: Dice, key: string): string {
  const at = dice.int(0, key.length - 1);
  switch (dice.int(0, 3)) {
    case 0:
      return `${key.slice(0, at)}q${key.slice(at)}`;
    case 1:
      return `${key}_`;
    case 2:
      return key.length > 3 ? `${key.slice(0, at)}${key.slice(at + 1)}x` : `${key}x`;
    default:
      return ` ${key}`;
  }
}

/** A value of another type, none of which is another way to write the same. */
function otherType(dice: Dice, value: unknown): unknown {
  const others: readonly unknown[] = [true, 'nonsense!', null, 1.5, {}, [true]];
  const kind = (one: unknown) => (Array.isArray(one) ? 'list' : typeof one);
  return dice.pick(
    others.filter((other) => kind(other) !== kind(value) && !(kind(value) === 'object' && kind(other) === 'list')),
  );
}
