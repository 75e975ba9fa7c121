import { apartFromHeaders, withItsHeaders } from './behindHeaders.js';
import { dumpText } from './dumpText.js';
import { FORMS, formOfLanguage } from './forms.js';
import type { Notation, WrittenForm } from './notation.js';
import { isOctalView } from './octalView.js';

/** Endings of the names of dumps, and the form that each promises. */
const BY_ENDING: ReadonlyMap<string, WrittenForm> = new Map(
  FORMS.flatMap((form): [string, WrittenForm][] => form.endings.map((ending) => [ending, form])),
);

/** The endings by which a file is known for a dump, without the dot. */
export const DUMP_ENDINGS: readonly string[] = [...BY_ENDING.keys()];

/** What form a text is written in: one for sure, or several (or one that is not sure) of which a person must choose. */
export type Recognition =
  | { readonly kind: 'form'; readonly form: WrittenForm }
  | { readonly kind: 'unclear'; readonly forms: readonly WrittenForm[] };

/** The form of a file: the one that its name promises, where it would not read another one as data, or else by its first and last lines. */
export function recognise(name: string, text: string): Recognition {
  const named = promisedBy(name);
  if (named !== undefined) {
    const inWords = inWordsThatFit(named, text);
    if (inWords.length > 0) return { kind: 'unclear', forms: inWords };
    const others = othersForSure(named, text);
    return others.length > 0 ? { kind: 'unclear', forms: [named, ...others] } : { kind: 'form', form: named };
  }
  const fits = FORMS.map((form) => ({ form, fit: form.fits(text) })).filter(({ fit }) => fit !== 'no');
  const [first] = fits;
  if (first === undefined) {
    const forms = FORMS.flatMap((form) => inWordsThatFit(form, text));
    return forms.length > 0 || isOctalView(text) ? { kind: 'unclear', forms } : { kind: 'form', form: dumpText };
  }
  if (fits.length === 1 && first.fit === 'yes') return { kind: 'form', form: first.form };
  const forms = fits.map(({ form }) => form);
  return { kind: 'unclear', forms: [...forms, ...forms.flatMap((form) => inWordsThatFit(form, text))] };
}

/** The form of a file, in which it is read; one of which that is unclear is read as dump text, which says so. */
export function notationOf(name: string, text: string): WrittenForm {
  const found = recognise(name, text);
  if (found.kind === 'form') return found.form;
  const named = promisedBy(name);
  if (named === undefined) return plainForm(found.forms) ?? dumpText;
  return othersForSure(named, text).length > 0 ? dumpText : named;
}

/** Of a text that may have been read with headers beside it: what is left of it without them, where its form has no place for them. */
export function withoutHeadersBeside(name: string, whole: string): string {
  const { text } = apartFromHeaders(whole, { between: '', mark: '', blank: '' });
  return text !== whole && notationOf(name, text).headers === 'none' ? text : whole;
}

/** The form of a text that may have been read with headers beside it, which is read with them. */
export function notationWithHeaders(name: string, whole: string): WrittenForm {
  return withItsHeaders(notationOf(name, withoutHeadersBeside(name, whole)));
}

/**
 * Forms that a text is surely in where its name promises one without addresses, which would read those of others as
 * data. In all other forms the rows of another one are errors.
 */
function othersForSure(named: WrittenForm, text: string): readonly WrittenForm[] {
  if (named.keeps.addresses || named.fits(text) === 'yes') return [];
  return FORMS.filter((form) => form !== named && form.fits(text) === 'yes');
}

/** A form in each of the words that a text may be written in, where it is not written in single bytes. */
function inWordsThatFit(form: WrittenForm, text: string): readonly WrittenForm[] {
  const { inWords, wordsThatFit } = form;
  if (inWords === undefined || wordsThatFit === undefined || form.fits(text) === 'yes') return [];
  return wordsThatFit(text).map(inWords);
}

/** The form that a text is in whatever its words are, where nothing else is unclear. */
export function plainForm([first, ...others]: readonly WrittenForm[]): WrittenForm | undefined {
  if (first?.word === undefined || others.some(({ id }) => id !== first.id)) return undefined;
  return FORMS.find(({ id }) => id === first.id);
}

/** The notation of a document in an editor: that of its file, unless its user has chosen a language that its name does not promise. */
export function notationOfDocument(language: string, name: string, text: string): Notation {
  const form = formOfLanguage(language);
  return form?.image === undefined || form === promisedBy(name) ? notationOf(name, text) : form;
}

/** The form that the name of a file promises. */
export function promisedBy(name: string): WrittenForm | undefined {
  return BY_ENDING.get(endingOf(name));
}

/** Whether a file is a dump by the ending of its name. */
export function isDumpName(name: string): boolean {
  return promisedBy(name) !== undefined;
}

function endingOf(name: string): string {
  return name.slice(name.lastIndexOf('.') + 1).toLowerCase();
}

/** The form that a text is written in for sure, or undefined where it is none that is known by its marks. */
export function notationOfText(text: string): WrittenForm | undefined {
  const found = recognise('', text);
  return found.kind === 'form' && found.form !== dumpText ? found.form : undefined;
}

/** Whether a notation is a memory image: records that carry addresses. */
export function isImage({ image }: Pick<Notation, 'image'>): boolean {
  return image !== undefined;
}
