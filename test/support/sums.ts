import fc from 'fast-check';
import type { Parameter } from '../../shared-core/src/checksum/parameters.js';
import { SUM_IDS, SUM_METHODS, type SumId, type SumSpec, specOf } from '../../shared-core/src/checksum/registry.js';

type Values = Readonly<Record<string, unknown>>;

/** Any sum of a method, made from what the method says of its parameters. */
export function sumOf(id: SumId): fc.Arbitrary<SumSpec> {
  const parameters = Object.entries(SUM_METHODS[id].parameters);
  const free = parameters.reduce<fc.Arbitrary<Values>>(
    (all, [key, parameter]) =>
      all.chain((values) => anyValue(parameter, values).map((value) => ({ ...values, [key]: value }))),
    fc.constant({}),
  );
  const named = parameters.flatMap(([key, parameter]) =>
    parameter.kind === 'preset'
      ? [fc.constantFrom(...parameter.names).map((name) => ({ [key]: name, ...parameter.parametersOf(name) }))]
      : [],
  );
  return fc.oneof({ arbitrary: free, weight: 3 }, ...named).map((values) => specOf(id, values));
}

/** Any sum of any method. */
export const anySum: fc.Arbitrary<SumSpec> = fc.oneof(...SUM_IDS.map(sumOf));

function anyValue(parameter: Parameter, values: Values): fc.Arbitrary<unknown> {
  switch (parameter.kind) {
    case 'choice':
      return fc.constantFrom(...parameter.of);
    case 'whole':
      return fc.integer({ min: parameter.from, max: parameter.to });
    case 'wide':
      return fc.bigInt({ min: 0n, max: (1n << BigInt(Number(values[parameter.bits]))) - 1n });
    case 'flag':
      return fc.boolean();
    case 'preset':
      return fc.constant(undefined);
  }
}

/** A sum as JSON that a profile may hold: some parameters left out, numbers also as text, now and then one of another method. */
export const sumJson: fc.Arbitrary<object> = fc
  .tuple(
    anySum,
    fc.subarray(['bits', 'unit', 'start', 'init', 'refout', 'order', 'complement', 'xorout']),
    fc.boolean(),
  )
  .map(([spec, left, asText]) => {
    const { model, ...all } = { model: undefined, ...spec };
    const given = Object.entries(model === undefined ? all : { method: spec.method, model });
    return Object.fromEntries(
      given.flatMap(([key, value]) => {
        if (left.includes(key)) return [];
        const isNumber = typeof value === 'bigint' || (typeof value === 'number' && asText);
        return [[key, isNumber ? `0x${value.toString(16)}` : value]];
      }),
    );
  });
