import type { RowSpan, TextEdit } from '../../../../shared-core/src/base/index.js';
import type { Row } from '../../../../shared-core/src/format/index.js';
import type { Position } from '../../lsp.js';
import type { Analysis, Session } from '../../session.js';

/** Where in a dump something is to be completed. */
export interface CompletionPlace {
  readonly session: Session;
  readonly explained: Analysis;
  readonly position: Position;
  readonly row: Row;
  /** What stands in the row before the cursor. */
  readonly before: string;
}

/** One thing to choose; the client filters by `text`, or by `filter` where something else stands at the place. */
export interface Choice {
  readonly label: string;
  /** A few words behind the label. */
  readonly words?: string;
  /** What must be known before it is chosen, in a few words; `note` has it whole. */
  readonly caution?: string;
  /** A sentence or two, shown beside the list. */
  readonly note?: string;
  readonly text: string;
  readonly filter?: string;
  readonly span: RowSpan;
  /** Edits elsewhere that go with it. */
  readonly also?: readonly TextEdit[];
  readonly kind: 'keyword' | 'file' | 'value' | 'line';
  /** Offers what comes next as soon as this is chosen. */
  readonly continues?: boolean;
  /** The file that this leads to, of which more is said when it is pointed at. */
  readonly file?: string;
}
