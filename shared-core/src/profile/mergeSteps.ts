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
  // From the back: what is taken out of a list moves what is behind it.
  const out = steps.filter(({ value }) => value === undefined).reverse();
  return out.reduce((now, { at }) => withoutValue(now, at), written);
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

/** What is said of it goes with it. */
function withoutValue(text: string, at: JSONPath): string {
  const child = childAt(text, at);
  const said = commentsOf(text).filter(({ place }) => !place.isEnd && place.at.offset === child?.offset);
  const without = editedProfile(
    text,
    said.map(({ edit }) => edit),
  );
  const there = childAt(without, at);
  return there?.parent === undefined ? without : editedProfile(without, [removedChild(without, there.parent, there)]);
}

/** The entry of a list or the property of an object that a way leads to. */
function childAt(text: string, at: JSONPath): Node | undefined {
  const node = nodeAt(rootOf(text), at);
  return node?.parent?.type === 'property' ? node.parent : node;
}

function rootOf(text: string): Node | undefined {
  return readJson(text).root?.node;
}

function nodeAt(root: Node | undefined, at: JSONPath): Node | undefined {
  return root === undefined || at.at(-1) === AT_END ? undefined : findNodeAtLocation(root, [...at]);
}
