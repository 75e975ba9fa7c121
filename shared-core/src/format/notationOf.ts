import { dumpText } from './dumpText.js';
import { FORMS, formOfLanguage } from './forms.js';
import type { Notation, WrittenForm } from './notation.js';

/** Endings of the names of dumps, and the form that each promises. */
const BY_ENDING: ReadonlyMap<string, WrittenForm> = new Map(
  FORMS.flatMap((form): [string, WrittenForm][] => form.endings.map((ending) => [ending, form])),
);

/** The endings by which a file is known for a dump, without the dot. */
export const DUMP_ENDINGS: readonly string[] = [...BY_ENDING.keys()];

/** The form of a file by the ending of its name; where that says nothing, by its first records. */
export function notationOf(name: string, text: string): WrittenForm {
  return BY_ENDING.get(endingOf(name)) ?? notationOfText(text) ?? dumpText;
}

/** The notation of a document in an editor: its user may have chosen a language that its name does not promise. */
export function notationOfDocument(language: string, name: string, text: string): Notation {
  const form = formOfLanguage(language);
  return form?.image === undefined ? notationOf(name, text) : form;
}

/** Whether a file is a dump by the ending of its name. */
export function isDumpName(name: string): boolean {
  return BY_ENDING.has(endingOf(name));
}

function endingOf(name: string): string {
  return name.slice(name.lastIndexOf('.') + 1).toLowerCase();
}

/** The form that a text is written in, or undefined where it is none that is known by its marks. */
export function notationOfText(text: string): WrittenForm | undefined {
  return FORMS.find((form) => form.fits(text) === 'yes');
}

/** Whether a notation is a memory image: records that carry addresses. */
export function isImage({ image }: Pick<Notation, 'image'>): boolean {
  return image !== undefined;
}
