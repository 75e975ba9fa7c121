import {
  type Dump,
  editsOf,
  type Phrase,
  type Repaired,
  type Result,
  type TextEdit,
} from '../../../../shared-core/src/index.js';

/** Something that can be done about a problem, titled by what it does. */
export type Fix =
  | {
      readonly kind: 'edits';
      readonly title: Phrase;
      readonly edits: readonly TextEdit[];
      readonly preferred?: boolean;
    }
  | { readonly kind: 'command'; readonly title: Phrase; readonly command: string; readonly argument?: string }
  | { readonly kind: 'refused'; readonly title: Phrase; readonly why: Phrase };

export function fromRepair(dump: Dump, title: Phrase, repair: Result<Repaired>): Fix {
  if (!repair.ok) return { kind: 'refused', title, why: repair.why };
  return { kind: 'edits', title, edits: editsOf(dump, repair.value.writes) };
}
