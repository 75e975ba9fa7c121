import { getLocation, type Location, type Node, parse } from 'jsonc-parser';
import { hex, valueIn } from '../../../../shared-core/src/base/index.js';
import { CRC_NAMES } from '../../../../shared-core/src/checksum/index.js';
import { namedValues } from '../../../../shared-core/src/options/index.js';
import {
  type Option,
  optionWidth,
  type Profile,
  readProfile,
  tooDeep,
} from '../../../../shared-core/src/profile/index.js';
import { resolveUri } from '../../../../shared-core/src/workspace/index.js';
import type { JsonSnapshot } from '../../documents.js';
import type { Position } from '../../lsp.js';
import type { Session } from '../../session.js';
import { pathsFrom } from './paths.js';

/** One thing to choose in a profile or a retrofit: a JSON value or key, in quotes where it needs them. */
export interface JsonChoice {
  readonly label: string;
  readonly words?: string;
  readonly json: string;
  /** What is replaced, in UTF-16 units from the start of the text. */
  readonly start: number;
  readonly end: number;
  readonly file?: string;
}

/** Says what the schema cannot know: names of CRCs and of slots, files of the workspace, options of this and of other profiles. */
export async function jsonChoices(
  session: Session,
  { uri, kind, document }: JsonSnapshot,
  position: Position,
): Promise<JsonChoice[]> {
  const text = document.getText();
  if (tooDeep(text) !== undefined) return [];
  const offset = document.offsetAt(position);
  const location = getLocation(text, offset);
  const span = replaced(location.previousNode, offset);
  const choose = (found: readonly Omit<JsonChoice, 'start' | 'end'>[]) =>
    found.map((choice) => ({ ...choice, ...span }));
  const files = async () => {
    const { profiles } = await session.list();
    return choose(
      pathsFrom(uri, profiles).map(({ path, uri: file }) => ({ label: path, json: JSON.stringify(path), file })),
    );
  };
  const root: unknown = parse(text, [], { allowTrailingComma: true });
  const profileAt = async (path: unknown): Promise<Profile | undefined> =>
    typeof path === 'string' ? valueIn(await session.files.readProfile(resolveUri(uri, path)))?.profile : undefined;

  if (kind === 'retrofit') {
    if (matches(location, ['changes', '*', 'profile'])) return files();
    if (!matches(location, ['changes', '*', 'set', '*'])) return [];
    const [, index, , id] = location.path;
    const profile = await profileAt(valueAt(root, ['changes', index, 'profile']));
    if (location.isAtPropertyKey) return choose(profile?.options.map(idChoice) ?? []);
    return choose(valuesOf(profile?.options.find((option) => option.id === id)).map(({ words }) => plain(words)));
  }
  if (location.path.at(-1) === 'model' && !location.isAtPropertyKey) return choose(CRC_NAMES.map(plain));
  if (location.path.at(-1) === 'slot' && !location.isAtPropertyKey) return choose(slotNames(root).map(plain));
  if (location.path[0] === 'extends' && !location.isAtPropertyKey) return files();
  const [options, index, list, at] = location.path;
  if (location.isAtPropertyKey || options !== 'options') return [];
  if (list !== 'needs' && list !== 'excludes') return [];
  const condition = valueAt(root, ['options', index, list, at]);
  // A text that is being written is torn as a rule: what can be made of it is read.
  const named = valueAt(condition, ['profile']);
  const profile = named === undefined ? await ownProfile(session, uri, JSON.stringify(root)) : await profileAt(named);
  switch (location.path[4]) {
    case 'profile':
      return files();
    case 'option': {
      // An option that needs itself says nothing.
      const own = named === undefined ? valueAt(root, ['options', index, 'id']) : undefined;
      return choose(profile?.options.filter(({ id }) => id !== own).map(idChoice) ?? []);
    }
    case 'in': {
      const option = profile?.options.find(({ id }) => id === valueAt(condition, ['option']));
      return choose(valuesOf(option).map(({ raw, words }) => ({ label: raw, words, json: raw })));
    }
    default:
      return [];
  }
}

/** A profile that is being written, over those that it extends. */
async function ownProfile({ files }: Session, uri: string, text: string): Promise<Profile> {
  return readProfile(text, await files.basesOf(uri, text)).profile;
}

/** What the records that move are called. */
function slotNames(root: unknown): readonly string[] {
  const slots = valueAt(root, ['slots']);
  const names = Array.isArray(slots) ? slots.map((one: unknown) => valueAt(one, ['name'])) : [];
  return names.filter((name) => typeof name === 'string');
}

const plain = (text: string) => ({ label: text, json: JSON.stringify(text) });
const idChoice = ({ id, title }: Option) => ({ label: id, words: title, json: JSON.stringify(id) });

/** The values that an option is set to in words, with their numbers as a profile writes them. */
function valuesOf(option: Option | undefined): readonly { readonly raw: string; readonly words: string }[] {
  if (option === undefined) return [];
  const digits = Math.ceil(optionWidth(option) / 4);
  return namedValues(option).map(({ raw, words }) => ({
    raw: raw < 10n ? String(raw) : JSON.stringify(`0x${hex(raw, digits)}`),
    words,
  }));
}

/** The text or number at the cursor, or nothing at all between brackets and commas. */
function replaced(node: Node | undefined, offset: number): { readonly start: number; readonly end: number } {
  const inside = node !== undefined && node.offset <= offset && offset <= node.offset + node.length;
  return inside ? { start: node.offset, end: node.offset + node.length } : { start: offset, end: offset };
}

function matches({ path }: Pick<Location, 'path'>, wanted: readonly string[]): boolean {
  return path.length === wanted.length && wanted.every((step, i) => step === '*' || step === path[i]);
}

function valueAt(root: unknown, path: readonly unknown[]): unknown {
  return path.reduce<unknown>(
    (value, step) =>
      typeof value === 'object' && value !== null
        ? (value as Readonly<Record<string, unknown>>)[String(step)]
        : undefined,
    root,
  );
}
