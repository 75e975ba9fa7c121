import { findNodeAtLocation, type Node, parseTree } from 'jsonc-parser';
import { phrase } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
import { editedProfile, type ProfileEdit, removedChild } from '../../profile/profileText.js';
import { readProfile } from '../../profile/readProfile.js';
import type { ProfileToShare, SharedCopy } from './copies.js';
import { personalLooksIn } from './looksPersonal.js';
import { maskedText } from './maskedText.js';
import type { Mask } from './masks.js';

/** Keys of a profile whose texts are paths of other profiles. */
const NAMING = ['profile', 'extends'];

interface NamedPath {
  readonly path: string;
  readonly start: number;
  readonly end: number;
}

/** The paths of other profiles that the text of a profile has. */
export function profilesNamedIn(text: string): readonly string[] {
  return [...new Set(pathsIn(text).map(({ path }) => path))];
}

function pathsIn(text: string): readonly NamedPath[] {
  const found: NamedPath[] = [];
  const visit = (node: Node) => {
    const [key, value] = node.type === 'property' ? (node.children ?? []) : [];
    if (NAMING.includes(key?.value as string))
      for (const one of value?.type === 'array' ? (value.children ?? []) : value === undefined ? [] : [value])
        if (one.type === 'string')
          found.push({ path: String(one.value), start: one.offset, end: one.offset + one.length });
    for (const child of node.children ?? []) visit(child);
  };
  const root = parseTree(text, [], { allowTrailingComma: true });
  if (root !== undefined) visit(root);
  return found;
}

/** Edits that leave out who saw an option, so that every row stays in its place. */
function namesIn(text: string): readonly ProfileEdit[] {
  const root = parseTree(text, [], { allowTrailingComma: true });
  const options = (root && findNodeAtLocation(root, ['options'])?.children) ?? [];
  const entries = options.flatMap((option) => findNodeAtLocation(option, ['seen'])?.children ?? []);
  return entries.flatMap((entry) => {
    const by = findNodeAtLocation(entry, ['by'])?.parent;
    if (by === undefined) return [];
    const edit = removedChild(text, entry, by);
    const gone = text.slice(edit.offset, edit.offset + edit.length);
    return { ...edit, text: gone.replace(/[^\r\n]/g, '') };
  });
}

/** A profile for others: the same but for values that are masked, and for what the files are called that it names. */
export function maskedProfile(
  { file, name, text, names }: ProfileToShare,
  masks: readonly Mask[],
  copies: ReadonlyMap<string, string>,
): Result<SharedCopy> {
  const unnamed = namesIn(text);
  let renamed = editedProfile(text, unnamed);
  for (const { path, start, end } of [...pathsIn(renamed)].reverse()) {
    const copy = copies.get(names.get(path) ?? '');
    if (copy !== undefined) renamed = renamed.slice(0, start) + JSON.stringify(copy) + renamed.slice(end);
  }
  const lines = renamed.split(/(?<=\n)/);
  // What is in one line belongs together; what goes on in the next one is found in the whole.
  const whole = maskedText(renamed, masks);
  const [before, after] = [readProfile(text).problems.length, readProfile(whole.text).problems.length];
  if (after > before) return refuse(phrase('With its personal values masked it would be no good profile any more.'));
  const rowOf = (offset: number) => text.slice(0, offset).split('\n').length;
  const leftOut = unnamed.map(({ offset, length }) =>
    phrase('Row {0}: who saw an option is left out', rowOf(offset + length)),
  );
  const masked = whole.text
    .split(/(?<=\n)/)
    .flatMap((line, row) => (line === lines[row] ? [] : phrase('Row {0}: masked', row + 1)));
  return done({
    file,
    name: copies.get(file) ?? name,
    text: whole.text,
    masked: [...leftOut, ...masked],
    left: whole.text.split('\n').flatMap((line, row) =>
      personalLooksIn(
        row,
        line,
        masks.map(({ mask }) => mask),
      ),
    ),
    seal: undefined,
  });
}
