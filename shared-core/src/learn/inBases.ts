import { findNodeAtLocation, type Node, parseTree } from 'jsonc-parser';
import type { Base, Bases } from '../profile/extends.js';

/** The nearest of the profiles that are extended of which something is so; undefined where there is none. */
export function baseWith(bases: Bases | undefined, isSo: (root: Node) => boolean): Base | undefined {
  return [...(bases?.files ?? [])].reverse().find(({ text }) => {
    const root = parseTree(text, [], { allowTrailingComma: true });
    return root !== undefined && isSo(root);
  });
}

/** The nearest of them that describes an option. */
export function baseDescribing(bases: Bases | undefined, id: string): Base | undefined {
  return baseWith(bases, (root) => optionIn(root, id) !== undefined);
}

/** The object of the option with an id; undefined where there is none. */
export function optionIn(root: Node, id: string): Node | undefined {
  const options = findNodeAtLocation(root, ['options']);
  return options?.children?.find((child) => findNodeAtLocation(child, ['id'])?.value === id);
}
