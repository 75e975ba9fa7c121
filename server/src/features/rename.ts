import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { isIdOf, type OptionName, shareIds } from '../../../shared-core/src/jobs/index.js';
import { isOptionId, type JsonSpan } from '../../../shared-core/src/profile/index.js';
import { canonicalUri, fileName } from '../../../shared-core/src/workspace/index.js';
import { answerOfVersions, type Feature } from '../feature.js';
import { type JsonFile, namesOf, readJsonFile, readProfileFile, toJsonRange } from '../jsonFile.js';
import {
  LSPErrorCodes,
  type Position,
  type Range,
  ResponseError,
  type TextDocumentEdit,
  type TextEdit,
  type WorkspaceEdit,
} from '../lsp.js';
import { descriptionsOf, keyOf, nameAt, type OptionKey, type Sharers, sharersOf } from '../optionPlaces.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';
import { toFilesEdit } from '../toLsp.js';

/** Renames an option wherever profiles and retrofits name it. Dumps hold values, not names, and stay as they are. */
export const rename: Feature = {
  capabilities: ({ client }) => ({
    renameProvider:
      client.capabilities.textDocument?.rename?.prepareSupport === true ? { prepareProvider: true } : true,
  }),
  register: (connection, session) => {
    connection.onPrepareRename(async ({ textDocument: { uri }, position }) => {
      const { range, id } = await answerOfVersions(
        session,
        () => renamed(session, uri, position),
        () => [uri],
      );
      return { range, placeholder: id };
    });
    connection.onRenameRequest(({ textDocument: { uri }, position, newName }) =>
      answerOfVersions(
        session,
        () => renameAt(session, uri, position, newName),
        () => [uri],
      ),
    );
  },
};

/** The option to rename, with all of its kind where there are several, and the stretch that names it. */
interface Renamed extends OptionKey {
  readonly repeat: number | undefined;
  readonly range: Range;
}

async function renamed(session: Session, uri: string, position: Position): Promise<Renamed> {
  const file = await readJsonFile(session, uri);
  if (file === undefined) {
    throw refusal(
      session,
      phrase('A dump holds no names of options. Rename the option in its profile: go to its definition first.'),
    );
  }
  const name = nameAt(file, position);
  if (name === undefined)
    throw refusal(session, phrase('Only the id of an option can be renamed. Put the cursor on one.'));
  const key = keyOf(file, name);
  const described = await descriptionsOf(session, key);
  // What changes an option of a profile that is extended may not say how many there are.
  const { id, repeat } = described.find((one) => one.repeat !== undefined) ??
    described[0] ?? { ...key, repeat: undefined };
  return { profileUri: key.profileUri, id, repeat, range: toJsonRange(file, nameIn(name.span, name.id, id)) };
}

/** The stretch of an id without the number of one of several. */
function nameIn({ start, end }: JsonSpan, written: string, id: string): JsonSpan {
  return { start, end: end - (written.length - id.length) };
}

async function renameAt(session: Session, uri: string, position: Position, newName: string): Promise<WorkspaceEdit> {
  const key = await renamed(session, uri, position);
  if (!isOptionId(newName)) {
    throw refusal(session, phrase('"{0}" can be no id: ids have letters, digits, "_", "." and "-" only.', newName));
  }
  const { profiles, retrofits } = await session.list();
  const pause = pauses();
  const edits: TextDocumentEdit[] = [];
  const shared = await sharersOf(session, key, pause);
  for (const other of new Set([...shared.files, canonicalUri(uri), ...profiles, ...retrofits])) {
    const file = shared.files.has(other) ? await readProfileFile(session, other) : await readJsonFile(session, other);
    const found = file === undefined ? [] : editsIn(session, file, { ...key, shared }, newName);
    if (file !== undefined && found.length > 0)
      edits.push({ textDocument: { uri: other, version: file.version }, edits: [...found] });
    await pause();
  }
  return toFilesEdit(session, edits);
}

function editsIn(
  session: Session,
  file: JsonFile,
  key: Renamed & { readonly shared: Sharers },
  newName: string,
): readonly TextEdit[] {
  const names = namesOf(file);
  if (names === undefined) {
    // What cannot be read cannot be renamed in; it matters only where the id may stand there.
    const text = file.document.getText();
    if (!text.includes(`"${key.id}"`) && (key.repeat === undefined || !text.includes(`"${key.id}.`))) return [];
    const message = phrase('"{0}" has a JSON error and may use this option. Correct it first.', fileName(file.uri));
    throw refusal(session, message);
  }
  const { profiles, files } = key.shared;
  const isOfProfile = (name: OptionName) => profiles.has(keyOf(file, name).profileUri);
  const isTaken = names.options.some(
    (name) =>
      name.role === 'described' &&
      files.has(file.uri) &&
      name.id !== key.id &&
      shareIds(name, { id: newName, repeat: key.repeat }),
  );
  if (isTaken && newName !== key.id) {
    throw refusal(session, phrase('The profile has an option "{0}" already.', newName));
  }
  return names.options
    .filter((name) => isOfProfile(name) && isIdOf(key, name.id))
    .map(({ span, id }) => ({ range: toJsonRange(file, nameIn(span, id, key.id)), newText: newName }));
}

function refusal(session: Session, message: Phrase): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestFailed, session.say(message));
}
