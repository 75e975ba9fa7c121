import type { RowSpan } from '../../shared-core/src/base/index.js';
import { bytesSpan, type Dump, labelSpanOf } from '../../shared-core/src/model/index.js';
import type { Place } from '../../shared-core/src/protocol/common.js';
import { toRange } from './toLsp.js';

/** A place of a dump as the client keeps it, in a page or a view, while the text may change. */
export function placeOf(dump: Pick<Dump, 'rows' | 'notation'>, span: RowSpan | undefined): Place | null {
  if (span === undefined) return null;
  const text = dump.rows[span.row]?.text ?? '';
  const label = labelSpanOf(dump, span.row).end;
  const bytes = bytesSpan(dump, span.row, 0, 1)?.start ?? 0;
  // With what is behind the label, so that 4 is not the beginning of 40.
  return { ...toRange(span), head: text.slice(0, Math.max(label + 1, bytes)) };
}
