import { type Node, parseTree } from 'jsonc-parser';
import { phrase } from '../../base/phrase.js';
import { done, type Result, refuse } from '../../base/result.js';
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

/** A profile for others: the same but for values that are masked, and for what the files are called that it names. */
export function maskedProfile(
  { file, name, text, names }: ProfileToShare,
  masks: readonly Mask[],
  copies: ReadonlyMap<string, string>,
): Result<SharedCopy> {
  let renamed = text;
  for (const { path, start, end } of [...pathsIn(text)].reverse()) {
    const copy = copies.get(names.get(path) ?? '');
    if (copy !== undefined) renamed = renamed.slice(0, start) + JSON.stringify(copy) + renamed.slice(end);
  }
  const lines = renamed.split(/(?<=\n)/);
  // What is in one line belongs together; what goes on in the next one is found in the whole.
  const whole = maskedText(renamed, masks);
  const [before, after] = [readProfile(text).problems.length, readProfile(whole.text).problems.length];
  if (after > before) return refuse(phrase('With its personal values masked it would be no good profile any more.'));
  const masked = whole.text
    .split(/(?<=\n)/)
    .flatMap((line, row) => (line === lines[row] ? [] : phrase('Row {0}: masked', row + 1)));
  return done({
    file,
    name: copies.get(file) ?? name,
    text: whole.text,
    masked,
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
