import { DUMP_LANGUAGES, IMAGE_ENDINGS } from '../forms.js';

// Conditions of the editor ("when clauses") under which commands are of use.

/** A dump is in the active editor. */
export const IN_DUMP = `editorLangId =~ /^(${DUMP_LANGUAGES.join('|')})$/`;

/** The same, and no other dump stands beside it. */
export const IN_DUMP_ALONE = `${IN_DUMP} && !isInDiffEditor`;

/** The same, and it may be edited: a sealed backup opens read-only. */
export const IN_EDITABLE_DUMP = `${IN_DUMP} && !activeEditorIsReadonly`;

/** No profile explains the dump; known a moment after it was opened. */
export const WITHOUT_PROFILE = 'countersum.withoutProfile';

/** The dump has no backup that can be read; known a moment after it was opened. */
export const WITHOUT_BACKUP = 'countersum.withoutBackup';

/** The dump has a backup to compare with, as far as is known. */
export const IN_BACKED_UP_DUMP = `${IN_DUMP} && !${WITHOUT_BACKUP}`;

/** A dump is open that views and pages are about, whatever has the focus. */
export const HAS_DUMP = 'countersum.hasDump';

/** The same, and it has a backup, or a profile, as far as is known. */
export const HAS_BACKUP = `${HAS_DUMP} && !${WITHOUT_BACKUP}`;
export const HAS_PROFILE = `${HAS_DUMP} && !${WITHOUT_PROFILE}`;

/** Several files are selected in the explorer, and the one in question is a dump. */
export const DUMP_FILES = `listMultiSelection && resourceLangId =~ /^(${DUMP_LANGUAGES.join('|')})$/`;

/** The file in question is a memory image. */
export const IMAGE_FILE = `resourceExtname =~ /^\\.(${IMAGE_ENDINGS.join('|')})$/i`;

/** The file in question is of no language that an editor knows by its name: it may hold raw bytes, or a dump as text. */
export const ANY_NAME = '!explorerResourceIsFolder && (!resourceLangId || resourceLangId =~ /^(unknown|plaintext)$/)';

/** A retrofit is open, or there is a folder in which to look for one. */
export const RETROFIT_AT_HAND = 'workspaceFolderCount != 0 || resourceFilename =~ /\\.retrofit\\.json$/';

/** A dump is open, or a folder of dumps. */
export const DUMPS_AT_HAND = `workspaceFolderCount != 0 || ${IN_DUMP}`;

/** The editor says of the file that it shows no binary files. */
export const IN_BINARY_EDITOR = 'activeEditor == workbench.editors.files.binaryFileEditor';

export const IN_JOB = 'view == countersum.job';
export const IN_OPTIONS = 'view == countersum.options';
export const IN_CHANGES = 'view == countersum.changes';

/** The *Changes* view has something to compare with. */
export const COMPARED = `${IN_CHANGES} && countersum.changes == compared`;
