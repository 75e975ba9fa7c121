import { type Between, readBetween } from './patternBytes.js';
import { isLabel, type PatternField, type PatternParts } from './patternMatch.js';

/** A field in a pattern, with what is between its braces. */
export const FIELD = /\{(\w+(?::[^{}]*)?)\}/;

/** A field's name, and what it says of the bytes in it. */
export function fieldOf(written: string): { readonly field: PatternField; readonly between: Between | undefined } {
  const [, name, option] = /^(data|sum):(.*)$/.exec(written) ?? [];
  const between = option === undefined ? undefined : readBetween(option);
  return { field: (between === undefined ? written : name) as PatternField, between };
}

/** The pattern taken apart; its fields are not yet known to be any. */
export function partsOf(pattern: string): PatternParts {
  const [lead = '', ...rest] = pattern.trim().replace(/\s+/g, ' ').split(FIELD);
  const count = rest.length / 2;
  const fields = Array.from({ length: count }, (_, i) => {
    const { field, between } = fieldOf(rest[2 * i] ?? '');
    const after = rest[2 * i + 1] ?? '';
    const next = fieldOf(rest[2 * i + 2] ?? '').field;
    // Bytes may have blanks around them, so that blanks between them and other text ask for nothing. Blanks alone part
    // other fields, but not bytes, which have blanks among them.
    if (after === ' ') return { field, between, after: isBytes(field) ? '' : after };
    const start = isBytes(field) ? after.trimStart() : after;
    // A dot before bytes ends a label only with a blank behind it.
    const isOpen = (isBytes(next) || next === 'characters') && !/^[.-] $/.test(start);
    return { field, between, after: isOpen ? start.trimEnd() : start };
  });
  return { lead: isBytes(fields[0]?.field) ? lead.trimEnd() : lead, fields: withNumbers(fields) };
}

/** Several label fields are the numbers of one label. */
function withNumbers(fields: PatternParts['fields']): PatternParts['fields'] {
  if (fields.filter(({ field }) => isLabel(field)).length < 2) return fields;
  return fields.map((part) =>
    isLabel(part.field) ? { ...part, field: part.field === 'label' ? 'number' : 'number:hex' } : part,
  );
}

function isBytes(field: string | undefined): boolean {
  return field === 'data' || field === 'sum';
}
