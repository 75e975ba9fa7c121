import { nearestName } from '../base/nearestName.js';
import type { ByteOrder } from '../base/number.js';
import { listed, phrase } from '../base/phrase.js';
import { ORDER, type Parameters, type Preset } from '../checksum/parameters.js';
import { SUM_IDS, SUM_METHODS, type SumId, type SumSpec, specOf } from '../checksum/registry.js';
import {
  entries,
  flag,
  type JsonValue,
  member,
  missing,
  oneOf,
  onlyOneOf,
  soundOnly,
  text,
  whole,
  wide,
  wrong,
} from './json.js';

export function readOrder(object: JsonValue): ByteOrder {
  return oneOf(member(object, 'order'), ORDER.of) ?? ORDER.usual;
}

/** Keys that describe a sum, in `lineSum` and in each of `totals`; every stored value has an order. */
export const SUM_KEYS: readonly string[] = [
  ...new Set(['method', ...Object.values(SUM_METHODS).flatMap(({ parameters }) => Object.keys(parameters)), 'order']),
];

/**
 * Reads method and parameters of a sum; undefined, with a problem, where they make none. One wrong parameter makes the
 * whole sum unknown: with a default in its place every line would be called wrong.
 */
export function readSum(object: JsonValue): SumSpec | undefined {
  const given = member(object, 'method');
  if (given === undefined) return missing(object, phrase('"method" is missing: how is this sum made?'));
  const method = oneOf(given, SUM_IDS);
  if (method === undefined) return undefined;
  return soundOnly(object, () => {
    ownParametersOnly(object, method);
    return readParameters(object, method);
  });
}

function ownParametersOnly(object: JsonValue, method: SumId): void {
  const own = ['method', 'order', ...Object.keys(SUM_METHODS[method].parameters)];
  for (const [key, , keyNode] of entries(object)) {
    if (!SUM_KEYS.includes(key) || own.includes(key)) continue;
    wrong(keyNode, phrase('"{0}" says nothing about a sum by "{1}".', key, method));
  }
}

/** Each parameter in turn, since the width of some is what one before them says. */
function readParameters(object: JsonValue, method: SumId): SumSpec | undefined {
  const { parameters } = SUM_METHODS[method];
  const values = new Map<string, unknown>();
  for (const [key, parameter] of Object.entries(parameters)) {
    const given = member(object, key);
    if (parameter.kind === 'preset') {
      if (given !== undefined) return readPreset(object, given, method, key, parameter);
      values.set(key, undefined);
    } else if (given !== undefined) {
      values.set(key, readParameter(given, parameter, values));
    } else if ('usual' in parameter) {
      const { kind, usual } = parameter;
      values.set(key, kind === 'flag' && typeof usual === 'string' ? values.get(usual) : usual);
    } else return missing(object, whyNeeded(method, key, parameters));
  }
  return specOf(method, Object.fromEntries(values));
}

function readParameter(
  given: JsonValue,
  parameter: Exclude<Parameters[string], Preset>,
  values: ReadonlyMap<string, unknown>,
): unknown {
  switch (parameter.kind) {
    case 'choice':
      return oneOf(given, parameter.of);
    case 'flag':
      return flag(given);
    case 'whole':
      return whole(given, parameter.from, parameter.to);
    case 'wide': {
      const bits = values.get(parameter.bits);
      return typeof bits === 'number' ? wide(given, bits) : undefined;
    }
  }
}

function whyNeeded(method: SumId, key: string, parameters: Parameters) {
  const preset = Object.keys(parameters).find((name) => parameters[name]?.kind === 'preset');
  return preset === undefined
    ? phrase('A sum by "{0}" needs "{1}".', method, key)
    : phrase('A sum by "{0}" without "{1}" needs "{2}".', method, preset, key);
}

function readPreset(
  object: JsonValue,
  given: JsonValue,
  method: SumId,
  key: string,
  { names, parametersOf }: Preset,
): SumSpec | undefined {
  const name = text(given);
  const others = Object.keys(SUM_METHODS[method].parameters).filter((other) => other !== 'order');
  if (name === undefined || !onlyOneOf(object, others)) return undefined;
  const values = parametersOf(name);
  if (values !== undefined) return specOf(method, { [key]: name, ...values });
  const near = nearestName(name, names);
  return near === undefined
    ? wrong(
        given,
        phrase(
          '"{0}" is in no catalogue that is known here. Give {1} in place of "{2}".',
          name,
          listed(others.flatMap((other) => (other === key ? [] : `"${other}"`))),
          key,
        ),
      )
    : wrong(given, phrase('"{0}" is in no catalogue that is known here; "{1}" is probably meant.', name, near));
}
