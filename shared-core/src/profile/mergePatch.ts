import { type JsonNode, propertyOf } from './json.js';

/** How the values of a key are merged where that is not as with any other. */
export type MergeKey = (key: string, target: JsonNode | undefined, patch: JsonNode) => JsonNode | undefined;

/** Is told of each key that is to be removed where there is none. */
export type NothingThere = (key: JsonNode) => void;

/**
 * A value with a patch over it, as JSON Merge Patch (RFC 7396) says: objects are merged key by key, `null` removes a key,
 * and anything else takes the place of what was there. Each node keeps its file and place.
 */
export function merged(
  target: JsonNode | undefined,
  patch: JsonNode,
  mergeKey?: MergeKey,
  nothingThere?: NothingThere,
): JsonNode {
  if (patch.type !== 'object') return patch;
  const properties = new Map(propertiesOf(target).map((property) => [keyOf(property), property]));
  for (const property of propertiesOf(patch)) {
    const [key, value] = property.children ?? [];
    if (key === undefined || value === undefined) continue;
    const name = keyOf(property);
    const under = properties.get(name)?.children?.[1];
    const isOut = value.type === 'null';
    if (isOut && under === undefined) nothingThere?.(key);
    const merge = mergeKey ?? ((_, below, above) => merged(below, above, undefined, nothingThere));
    const result = isOut ? undefined : merge(name, under, value);
    if (result === undefined) properties.delete(name);
    else properties.set(name, { ...property, children: [key, result] });
  }
  const over = target?.type === 'object' ? { over: target } : {};
  return { ...patch, ...over, children: [...properties.values()] };
}

/** An object without some of its keys. */
export function without(object: JsonNode, keys: readonly string[]): JsonNode {
  return { ...object, children: propertiesOf(object).filter((property) => !keys.includes(keyOf(property))) };
}

/** The value of a key of an object. */
export function memberNode(object: JsonNode, key: string): JsonNode | undefined {
  return propertyOf(object, key)?.children?.[1];
}

function propertiesOf(node: JsonNode | undefined): readonly JsonNode[] {
  return node?.type === 'object' ? (node.children ?? []) : [];
}

function keyOf({ children }: JsonNode): string {
  return String(children?.[0]?.value);
}
