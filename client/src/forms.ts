import type { Phrase } from '../../shared-core/src/base/index.js';
import type { FormId } from '../../shared-core/src/format/index.js';
import { FILE_ENDINGS } from '../../shared-core/src/workspace/index.js';

/** A written form, as far as the editor side goes. */
interface NamedForm {
  readonly id: FormId;
  readonly title: Phrase;
  /** The language of the editor. */
  readonly language: string;
  /** Endings of names, the usual one first. */
  readonly endings: readonly [string, ...string[]];
  /** Whether it is a memory image. */
  readonly image: boolean;
}

/** The build puts it here, from the table of the core. */
declare const NAMED_FORMS: readonly NamedForm[];

export const FORMS = NAMED_FORMS;

/** Languages of dumps: lines with labels, and memory images. */
export const DUMP_LANGUAGES: readonly string[] = FORMS.map(({ language }) => language);

/** What the names of dumps end in, without the dot. */
export const DUMP_ENDINGS: readonly string[] = FORMS.flatMap(({ endings }) => endings);

/** The same of memory images. */
export const IMAGE_ENDINGS: readonly string[] = FORMS.flatMap(({ image, endings }) => (image ? endings : []));

/** Whether a file is a dump, a profile, a retrofit or a job card by its name. */
export function isOurs(path: string): boolean {
  const ending = path.slice(path.lastIndexOf('.') + 1).toLowerCase();
  return DUMP_ENDINGS.includes(ending) || Object.values(FILE_ENDINGS).some((end) => path.endsWith(`.${end}`));
}
