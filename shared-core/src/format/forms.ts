import { dumpText } from './dumpText.js';
import { hexList } from './hexList.js';
import { hexView } from './hexView.js';
import { intelHex } from './intelHex.js';
import { mosTech } from './mosTech.js';
import type { Notation, WrittenForm } from './notation.js';
import { sRecord } from './sRecord.js';
import { tektronixExtended } from './tektronix.js';
import { tiTxt } from './tiTxt.js';
import { verilog } from './verilog.js';

/**
 * The written forms. All that lists or names forms follows from this table: recognition, command line, profiles, the
 * manifest and its menus, completion, tests.
 */
export const FORMS = [
  dumpText,
  intelHex,
  sRecord,
  mosTech,
  tiTxt,
  hexView,
  tektronixExtended,
  verilog,
  hexList,
] as const satisfies readonly WrittenForm[];

export type FormId = (typeof FORMS)[number]['id'];

export const FORM_IDS: readonly FormId[] = FORMS.map(({ id }) => id);

/** The form of an id, which may be that of a pattern of the user. */
export function formOf(id: string): WrittenForm<FormId> | undefined {
  return FORMS.find((form) => form.id === id);
}

/** Whether a notation is one of the written forms, and no pattern of a user. */
export function isForm(notation: Notation): notation is WrittenForm<FormId> {
  return formOf(notation.id) !== undefined;
}

/** The form of a language of the editor. */
export function formOfLanguage(language: string): WrittenForm<FormId> | undefined {
  return FORMS.find((form) => form.language === language);
}
