import { phrase } from '../base/phrase.js';
import { compareLabels, isBetween } from '../format/label.js';
import type { Label } from '../format/row.js';
import { type JsonValue, wholeOf, wrong } from './json.js';
import { firstLabel, lastLabel, positionOf } from './lineLabels.js';
import type { LineGeometry } from './profile.js';
import { labelOf, numbersIn } from './readLines.js';

/** `"1-18"`, or `"3-1..4-2"` where labels have several numbers; or one line alone. */
export function lineRange(value: JsonValue, geometry: LineGeometry | undefined): LabelRange | undefined {
  const written = typeof value.node.value === 'string' ? value.node.value : String(wholeOf(value.node.value));
  const isOfSeveral = geometry !== undefined && geometry.numbers > 1;
  const pattern = isOfSeveral ? SEVERAL : /^(\d+|0x[0-9a-f]+)(?:-(\d+|0x[0-9a-f]+))?$/i;
  const [, first = '', last = first] = SEVERAL_ENDS.exec(written) ?? pattern.exec(written) ?? [];
  const [from, to] = [first, last].map((end) => {
    const label = labelOf(end);
    return isOfSeveral && numbersIn(label) !== geometry.numbers ? undefined : label;
  });
  if (from === undefined || to === undefined || compareLabels(from, to) > 0)
    return wrong(
      value,
      isOfSeveral
        ? phrase('Lines are written "3-1..4-2", or "3-1" for one alone.')
        : phrase('Lines are written "1-18".'),
    );
  const off = geometry && [from, to].find((label) => positionOf(geometry, label) < 0);
  if (geometry === undefined || off === undefined) return { from, to };
  const [least, most] = [firstLabel(geometry), lastLabel(geometry)];
  return isBetween(off, { from: least, to: most })
    ? wrong(value, phrase('There is no line {0}: lines go from {1} to {2}.', off, least, most))
    : wrong(value, phrase('Lines go from {0} to {1} only.', least, most));
}

export interface LabelRange {
  readonly from: Label;
  readonly to: Label;
}

const SEVERAL_ENDS = /^(\S+?)\.\.(\S+)$/;
const SEVERAL = /^(\S+)$/;
