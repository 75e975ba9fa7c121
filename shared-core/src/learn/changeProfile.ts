import { findNodeAtLocation, type Node, parseTree } from 'jsonc-parser';
import { type Phrase, phrase, say } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { appended, editedProfile, type ProfileEdit, printed, removedChild, styleOf } from '../profile/profileText.js';
import { readProfile } from '../profile/readProfile.js';

/** What a person wants changed in a profile that they have: a line that is no data, or an option that is wrong. */
export type ProfileWish =
  | { readonly kind: 'heading'; readonly heading: string }
  | { readonly kind: 'remove'; readonly id: string }
  | {
      readonly kind: 'widen';
      readonly id: string;
      readonly bits: string;
      readonly values: Readonly<Record<string, string>>;
    };

/**
 * The edits of a profile's text for a wish; comments, order and indentation stay. Refused where the profile would have a
 * problem afterwards: one that it has already and the wish does not end, or a new one.
 */
export function changeProfile(profileText: string, wish: ProfileWish): Result<readonly ProfileEdit[]> {
  const root = parseTree(profileText, [], { allowTrailingComma: true });
  const edits = root?.type === 'object' ? editsOf(profileText, root, wish) : undefined;
  if (edits === undefined) return refuse(phrase('The profile does not hold what is to be changed. Look at it first.'));
  const [problem] = readProfile(editedProfile(profileText, edits)).problems;
  if (problem === undefined) return done(edits);
  const said = new Set(readProfile(profileText).problems.map(({ message }) => say(message)));
  return refuse(whyNot(problem.message, said.has(say(problem.message))));
}

function whyNot(problem: Phrase, isOld: boolean): Phrase {
  return isOld
    ? phrase('The profile has another problem, which comes first: {0}', problem)
    : phrase('The profile would have a problem afterwards: {0}', problem);
}

function editsOf(text: string, root: Node, wish: ProfileWish): readonly ProfileEdit[] | undefined {
  if (wish.kind === 'heading') return withHeading(text, root, wish.heading);
  const options = findNodeAtLocation(root, ['options']);
  const option = options?.children?.find((child) => findNodeAtLocation(child, ['id'])?.value === wish.id);
  if (options === undefined || option === undefined) return undefined;
  if (wish.kind === 'remove') return [removedChild(text, options, option)];
  const [bits, values] = [findNodeAtLocation(option, ['bits']), findNodeAtLocation(option, ['values'])];
  if (bits === undefined || values === undefined) return undefined;
  const replace = (node: Node, value: unknown): ProfileEdit => ({
    offset: node.offset,
    length: node.length,
    text: printed(value, styleOf(text, node.offset)),
  });
  return [replace(bits, wish.bits), replace(values, wish.values)].sort((a, b) => a.offset - b.offset);
}

function withHeading(text: string, root: Node, heading: string): readonly ProfileEdit[] | undefined {
  const notation = findNodeAtLocation(root, ['notation']);
  if (notation?.type !== 'object') return undefined;
  const headings = findNodeAtLocation(notation, ['headings']);
  if (headings === undefined) return appended(text, notation, (style) => `"headings": ${printed([heading], style)}`);
  return headings.type === 'array' ? appended(text, headings, (style) => printed(heading, style)) : undefined;
}
