import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { rowsInDocument } from '../documents.js';
import { answer, type Feature } from '../feature.js';
import { type FoldingRange, FoldingRangeKind } from '../lsp.js';
import { type Section, sectionsOf } from '../sections.js';
import type { Session } from '../session.js';

/** Headers, blocks of comments, and groups of lines can be folded; of an image each contiguous stretch of addresses. */
export const folding: Feature = {
  capabilities: () => ({ foldingRangeProvider: true }),
  register: (connection, session) => {
    connection.onFoldingRanges(({ textDocument }) =>
      answer(
        session,
        textDocument.uri,
        ({ dump }) => {
          const count = rowsInDocument(dump, session.documents.get(textDocument.uri));
          return foldsOf(session, dump).filter(({ endLine }) => endLine < count);
        },
        [],
      ),
    );
  },
};

export function foldsOf(session: Session, dump: Pick<Dump, 'rows' | 'layout'>): FoldingRange[] {
  const { foldingRange } = session.client.capabilities.textDocument ?? {};
  const withText = foldingRange?.foldingRange?.collapsedText === true;
  const sections = sectionsOf(dump);
  const folds = sections
    .map((section, i) => ({ section, first: startOf(section, sections[i - 1]) }))
    .filter(({ section, first }) => section.last > first)
    .map(({ section, first }) => ({
      startLine: first,
      endLine: section.last,
      kind: section.kind === 'comment' ? FoldingRangeKind.Comment : FoldingRangeKind.Region,
      ...(withText && { collapsedText: session.say(collapsed(section)) }),
    }));
  return folds.slice(0, foldingRange?.rangeLimit);
}

/** A single comment right above a group of lines is its title, which stays when the group is folded. */
function startOf({ kind, first }: Section, before: Section | undefined): number {
  const isTitle = kind === 'records' && before?.kind === 'comment' && before.first === first - 1;
  return isTitle ? before.first : first;
}

function collapsed({ kind, first, last }: Section): Phrase {
  const count = last - first + 1;
  if (kind === 'headers') return phrase('{0} headers', count);
  return kind === 'comment' ? phrase('{0} lines of comment', count) : phrase('{0} lines', count);
}
