/** A stretch of a JSON text in UTF-16 units from its start: `end` exclusive. */
export interface JsonSpan {
  readonly start: number;
  readonly end: number;
}
