import type { Choice, Parameter, Parameters } from '../checksum/parameters.js';
import { SUM_IDS, SUM_METHODS } from '../checksum/registry.js';
import { FORMS } from '../format/forms.js';
import { EXTENDS } from './extends.js';
import { MERGED_LISTS, OUT } from './mergeLists.js';
import { SUM_KEYS } from './readSum.js';

/** A piece of a JSON Schema. */
export interface Schema {
  readonly $ref?: string;
  readonly properties?: Readonly<Record<string, Schema | false>>;
  readonly definitions?: Readonly<Record<string, Schema>>;
  readonly type?: unknown;
  readonly items?: Schema;
  readonly anyOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
  readonly description?: string | undefined;
  /** What holds of a profile by itself; of one that extends others, `then`. */
  readonly else?: Schema;
  readonly [key: string]: unknown;
}

/** What is made here has names of its own in the schema, by which it is found and made again. */
const PREFIX = 'sum.';
const NUMBER = { $ref: '#/definitions/number' };

/** The schema of profiles with all that it says of written forms, sum methods and their parameters made anew from these themselves. */
export function withTables(schema: Schema): Schema {
  const { else: whole = {}, definitions = {} } = schema;
  const { properties = {} } = whole;
  const { lineSum, totals, notation, slots } = properties;
  const [list, records] = [totals || {}, slots || {}];
  const others = Object.entries(definitions).filter(([name]) => !name.startsWith(PREFIX));
  const made = {
    ...properties,
    notation: withForms(notation || {}),
    lineSum: withSumKeys(lineSum || {}),
    totals: { ...list, items: withSumKeys(list.items ?? {}) },
    slots: { ...records, items: withCheck(records.items ?? {}) },
  };
  const all = Object.fromEntries([...others, ...sumDefinitions()]);
  return {
    ...schema,
    definitions: all,
    // biome-ignore lint/suspicious/noThenProperty: a key of JSON Schema
    then: { additionalProperties: false, properties: partsOf(made, all) },
    else: { ...whole, properties: made },
  };
}

/** What each profile says for itself, whatever it extends. */
const FOR_ITSELF = ['format', EXTENDS];

/** The keys of a profile that extends others: it may say a part of anything, and take anything out. */
function partsOf(whole: NonNullable<Schema['properties']>, definitions: Definitions): Schema['properties'] {
  const parts = Object.entries(whole).map(([key, schema]) => {
    if (schema === false || FOR_ITSELF.includes(key)) return [key, schema] as const;
    const place = `#/else/properties/${key}`;
    if (!Object.hasOwn(MERGED_LISTS, key)) return [key, partOf(schema, place, definitions)] as const;
    const { items = {}, description } = schema;
    const entry = keysOf(items, `${place}/items`, definitions);
    const properties = { ...entry, [OUT]: TAKES_OUT };
    return [key, { description, type: ['array', 'null'], items: { properties } }] as const;
  });
  return Object.fromEntries(parts);
}

const TAKES_OUT = {
  description: 'null takes the entry with this id or at this place out: it is in a profile that this one extends.',
  type: 'null',
};

type Definitions = NonNullable<Schema['definitions']>;

/** What may be written over a value at a place of the schema: of an object some keys, else another value; or nothing, which takes it out. */
function partOf(schema: Schema, place: string, definitions: Definitions): Schema {
  const found = resolved(schema, definitions);
  const words = found.description === undefined ? {} : { description: found.description };
  if (!mayBeObject(found, definitions))
    return { ...words, anyOf: [schema.$ref === undefined ? { $ref: place } : schema, { type: 'null' }] };
  const properties = keysOf(schema, place, definitions);
  return Object.keys(properties).length === 0 ? words : { ...words, properties };
}

function keysOf(schema: Schema, place: string, definitions: Definitions): Readonly<Record<string, Schema>> {
  const below = [schema.$ref, ...(schema.allOf ?? []).map(({ $ref }) => $ref)].flatMap((ref) =>
    ref === undefined ? [] : Object.entries(keysOf(definitionOfRef(ref, definitions), ref, definitions)),
  );
  const own = Object.entries(schema.properties ?? {}).flatMap(([key, one]) =>
    one === false ? [] : [[key, partOf(one, `${place}/properties/${key}`, definitions)] as const],
  );
  return Object.fromEntries([...below, ...own]);
}

function definitionOfRef(ref: string, definitions: Definitions): Schema {
  return definitions[ref.slice('#/definitions/'.length)] ?? {};
}

/** A schema with what its reference says. */
function resolved(schema: Schema, definitions: Definitions): Schema {
  const refs = [schema, ...(schema.allOf ?? [])].flatMap(({ $ref }) => $ref ?? []);
  const all = refs.map((ref) => resolved(definitionOfRef(ref, definitions), definitions));
  const properties = Object.assign({}, ...[...all, schema].map((one) => one.properties));
  const { $ref: _, ...own } = schema;
  return { ...Object.assign({}, ...all), ...own, ...(Object.keys(properties).length > 0 && { properties }) };
}

function mayBeObject(schema: Schema, definitions: Definitions): boolean {
  return (
    schema.type === 'object' ||
    schema.properties !== undefined ||
    (schema.anyOf ?? []).some((one) => mayBeObject(resolved(one, definitions), definitions))
  );
}

/** The written forms, and what else may stand in their place. */
function withForms(notation: Schema): Schema {
  const others = notation.anyOf?.slice(1) ?? [];
  const forms = { enum: FORMS.map(({ id }) => id), enumDescriptions: FORMS.map(({ about }) => about) };
  return { ...notation, anyOf: [forms, ...others] };
}

/** A record that moves, its check with the keys of a sum. */
function withCheck(record: Schema): Schema {
  const { properties = {} } = record;
  const { check } = properties;
  return { ...record, properties: { ...properties, check: withSumKeys(check || {}) } };
}

/** An object with the keys of a sum before its others. */
function withSumKeys(object: Schema): Schema {
  const others = Object.entries(object.properties ?? {}).filter(
    ([, value]) => value === false || !value.$ref?.startsWith(`#/definitions/${PREFIX}`),
  );
  const sums = SUM_KEYS.map((key) => [key, { $ref: `#/definitions/${PREFIX}${key}` }] as const);
  return { ...object, properties: Object.fromEntries([...sums, ...others]) };
}

function sumDefinitions(): readonly (readonly [name: string, schema: Schema])[] {
  const parameters = new Map<string, Parameter[]>();
  for (const id of SUM_IDS) {
    for (const [key, parameter] of Object.entries(SUM_METHODS[id].parameters))
      parameters.set(key, [...(parameters.get(key) ?? []), parameter]);
  }
  return [
    [
      `${PREFIX}method`,
      {
        description: 'How the sum is made.',
        enum: SUM_IDS,
        enumDescriptions: SUM_IDS.map((id) => SUM_METHODS[id].about),
      },
    ],
    ...[...parameters].map(([key, all]) => [`${PREFIX}${key}`, definitionOf(all)] as const),
    [`${PREFIX}rules`, { allOf: SUM_IDS.map((id) => ruleOf(id, SUM_METHODS[id].parameters)) }],
  ];
}

/** A parameter for all methods that take it, with the default that they share. */
function definitionOf(all: readonly Parameter[]): Schema {
  const forms = new Map(all.map((parameter) => [JSON.stringify(looseForm(parameter, all)), looseForm(parameter, all)]));
  const usual = new Set(all.map((parameter) => ('usual' in parameter ? parameter.usual : undefined)));
  const [common] = usual;
  const shared = usual.size === 1 && common !== undefined && !(all[0]?.kind === 'flag' && typeof common === 'string');
  return {
    description: all[0]?.about,
    ...(forms.size === 1 ? [...forms.values()][0] : { anyOf: [...forms.values()] }),
    ...(shared ? { default: typeof common === 'bigint' ? Number(common) : common } : {}),
  };
}

/** What any of the methods allows: the rule of each method says it more narrowly. */
function looseForm(parameter: Parameter, all: readonly Parameter[]): Schema {
  switch (parameter.kind) {
    case 'choice': {
      const of = [...new Set(all.flatMap((one) => (one.kind === 'choice' ? one.of : [])))].sort(inOrder);
      return typeof parameter.usual === 'number' ? { anyOf: [{ enum: of }, NUMBER] } : { enum: parameter.of };
    }
    case 'whole':
    case 'wide':
      return { allOf: [NUMBER] };
    case 'flag':
      return { type: 'boolean' };
    case 'preset':
      // The server offers the names.
      return { type: 'string' };
  }
}

function inOrder(a: string | number, b: string | number): number {
  return Number(a) - Number(b);
}

/** What a method takes: parameters of others are forbidden, its own are as it wants them. */
function ruleOf(id: string, parameters: Parameters): Schema {
  const foreign = SUM_KEYS.filter((key) => key !== 'method' && key !== 'order' && !(key in parameters));
  const choices = Object.entries(parameters).flatMap(([key, parameter]) =>
    parameter.kind === 'choice' && typeof parameter.usual === 'number' ? [[key, exactForm(parameter)] as const] : [],
  );
  const preset = Object.keys(parameters).find((key) => parameters[key]?.kind === 'preset');
  const needed = Object.keys(parameters).filter((key) => {
    const parameter = parameters[key];
    return parameter?.kind === 'whole' || (parameter?.kind === 'wide' && parameter.usual === undefined);
  });
  const all = {
    ...(needed.length === 0 ? {} : { required: needed }),
    ...(preset === undefined ? {} : { properties: { [preset]: false } }),
  };
  return {
    if: { required: ['method'], properties: { method: { const: id } } },
    // biome-ignore lint/suspicious/noThenProperty: a key of JSON Schema
    then: {
      properties: Object.fromEntries([...foreign.map((key) => [key, false] as const), ...choices]),
      ...(preset === undefined ? all : { oneOf: [presetOnly(preset, parameters), all] }),
    },
  };
}

function presetOnly(preset: string, parameters: Parameters): Schema {
  const others = Object.keys(parameters).filter((key) => key !== preset && key !== 'order');
  return { required: [preset], properties: Object.fromEntries(others.map((key) => [key, false])) };
}

/** The numbers of a choice, or the same as text in decimal or hex. */
function exactForm({ of, usual }: Choice): Schema {
  const texts = of.map((number) => {
    const digits = Number(number).toString(16);
    const hex = digits.replace(/[a-f]/g, (letter) => `[${letter}${letter.toUpperCase()}]`);
    return `0*${number}|0[xX]0*${hex}`;
  });
  return { anyOf: [{ enum: of }, { type: 'string', pattern: `^(${texts.join('|')})$` }], default: usual };
}
