import { findNodeAtLocation, type JSONPath, type Node } from 'jsonc-parser';
import { readJson } from './json.js';
import { commentsOf } from './mergeComments.js';
import { appended, editedProfile, type ProfileEdit, removedChild } from './profileText.js';

/** The last part of a way to an entry that a list does not have yet. */
export const AT_END = -1;

/** What becomes of a place in a text before any step: a value of another text that is written there, or nothing. */
export interface Step {
  readonly at: JSONPath;
  readonly value: string | undefined;
}

/** A text after all steps. What is not changed stays as it is written. */
export function afterSteps(text: string, steps: readonly Step[]): string {
  const written = editedProfile(text, edits(text, steps));
  return withoutValues(
    written,
    steps.flatMap(({ at, value }) => (value === undefined ? [at] : [])),
  );
}

/** Values that are written over others, and what is added, which nothing is moved by. */
function edits(text: string, steps: readonly Step[]): readonly ProfileEdit[] {
  const root = rootOf(text);
  const added = new Map<Node, string[]>();
  const all: ProfileEdit[] = [];
  for (const { at, value } of steps) {
    if (value === undefined) continue;
    const [there, parent] = [nodeAt(root, at), nodeAt(root, at.slice(0, -1))];
    const key = at.at(-1);
    if (there !== undefined) all.push({ offset: there.offset, length: there.length, text: value });
    else if (parent !== undefined)
      added.set(parent, [
        ...(added.get(parent) ?? []),
        typeof key === 'string' ? `${JSON.stringify(key)}: ${value}` : value,
      ]);
  }
  for (const [parent, values] of added)
    all.push(...appended(text, parent, ({ indent, lineEnd }) => values.join(`,${lineEnd}${indent}`)));
  return all.sort((a, b) => a.offset - b.offset);
}

/** A text without some of its values, which are in their order; what is said of them goes with them. */
function withoutValues(text: string, all: readonly JSONPath[]): string {
  const root = rootOf(text);
  const gone = new Set(all.map((at) => childAt(root, at)?.offset));
  const said = commentsOf(text).filter(({ place }) => gone.has(place.at.offset));
  let now = editedProfile(
    text,
    said.map(({ edit }) => edit),
  );
  let tree = rootOf(now);
  const others: JSONPath[] = [];
  // From the back: with the last of a list goes the comma before it, and which is the last one changes.
  for (const at of [...all].reverse()) {
    const child = childAt(tree, at);
    if (child?.parent?.children?.at(-1) !== child) others.push(at);
    else {
      now = editedProfile(now, removals(now, [child]));
      tree = rootOf(now);
    }
  }
  return editedProfile(
    now,
    removals(
      now,
      others.map((at) => childAt(tree, at)),
    ),
  );
}

function removals(text: string, children: readonly (Node | undefined)[]): readonly ProfileEdit[] {
  return children
    .flatMap((child) => (child?.parent === undefined ? [] : removedChild(text, child.parent, child)))
    .sort((a, b) => a.offset - b.offset);
}

/** The entry of a list or the property of an object that a way leads to. */
function childAt(root: Node | undefined, at: JSONPath): Node | undefined {
  const node = nodeAt(root, at);
  return node?.parent?.type === 'property' ? node.parent : node;
}

function rootOf(text: string): Node | undefined {
  return readJson(text).root?.node;
}

function nodeAt(root: Node | undefined, at: JSONPath): Node | undefined {
  return root === undefined || at.at(-1) === AT_END ? undefined : findNodeAtLocation(root, [...at]);
}
