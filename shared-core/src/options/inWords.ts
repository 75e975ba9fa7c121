import { hex } from '../base/hex.js';
import { listed, type Phrase, phrase } from '../base/phrase.js';
import { withUnit } from '../base/withUnit.js';
import type { Label } from '../format/row.js';
import type { Dump } from '../model/dump.js';
import { calledLine } from '../model/lineName.js';
import { exampleDate } from '../model/optionDate.js';
import { scaledStep, stepRange } from '../model/optionNumber.js';
import type { Confidence, NumberMeaning, Observation, Option, OptionPart, Place } from '../profile/profile.js';
import { textLimits } from './knownValue.js';

/** How, where, when and by whom an option was seen; `quoted` makes mere text of what the profile says. */
export function observationInWords(
  { part, software, date, how, by }: Observation,
  quoted: (text: string) => string = (text) => text,
): Phrase {
  const words: Readonly<Record<Observation['how'], Phrase>> = {
    'set-and-tried': phrase('set and tried'),
    'found-by-search': phrase('found by a search'),
    told: phrase('told'),
  };
  return listed([
    words[how],
    ...(part === undefined ? [] : [quoted(part)]),
    ...(software === undefined ? [] : [phrase('software {0}', quoted(software))]),
    ...[date, by].flatMap((text) => (text === undefined ? [] : quoted(text))),
  ]);
}

/** How sure the writer of a profile is of an option. */
export function certaintyOf(confidence: Confidence): Phrase {
  const words: Record<Confidence, Phrase> = {
    confirmed: phrase('confirmed'),
    likely: phrase('likely'),
    guess: phrase('unconfirmed (guess)'),
  };
  return words[confidence];
}

/** "Line 4, byte 3, bits 7 to 4": where an option is, as people count, with the line by what a dump calls it. */
export function optionPlaceInWords({ parts }: Pick<Option, 'parts'>, dump?: Dump): Phrase {
  return listed(
    parts.map((part) => partInWords(part, dump)),
    '; ',
  );
}

function partInWords({ place, bits }: OptionPart, dump: Dump | undefined): Phrase {
  const last = place.count - 1;
  const where =
    place.kind === 'address'
      ? last === 0
        ? phrase('Address {0}', hex(place.address, 4))
        : phrase('Addresses {0} to {1}', hex(place.address, 4), hex(place.address + last, 4))
      : last === 0
        ? phrase('Line {0}, byte {1}', lineOf(place.line, dump), place.byte)
        : phrase('Line {0}, bytes {1} to {2}', lineOf(place.line, dump), place.byte, place.byte + last);
  if (bits === undefined) return inSlotInWords(where, place);
  return bits.high === bits.low
    ? inSlotInWords(phrase('{0}, bit {1}', where, bits.low), place)
    : inSlotInWords(phrase('{0}, bits {1} to {2}', where, bits.high, bits.low), place);
}

function lineOf(line: Label, dump: Dump | undefined): Label {
  return dump === undefined ? line : calledLine(dump, line);
}

/** The same with the record that moves, as another slot may be in force tomorrow. */
function inSlotInWords(where: Phrase, { inSlot }: Place): Phrase {
  return inSlot === undefined ? where : phrase('{0} (byte {1} of "{2}")', where, inSlot.offset, inSlot.slots);
}

/** For which value of the axis of its table an option holds, as text: "500 rpm"; undefined where it is in none. */
export function axisValue({ several }: Option): string | undefined {
  const axis = several?.axis;
  return axis && (axis.unit === '' ? String(axis.at) : `${axis.at} ${axis.unit}`);
}

/** What may be written for an option that is no list of values; undefined where it is chosen from one. */
export function valuesInWords(option: Option): Phrase | undefined {
  const plain = plainLimits(option);
  const special = [...option.special.values()].map((word) => phrase('"{0}"', word));
  return plain === undefined || special.length === 0 ? plain : phrase('{0}, or {1}', plain, listed(special));
}

function plainLimits(option: Option): Phrase | undefined {
  const { meaning } = option;
  switch (meaning.kind) {
    case 'number':
      return numberLimits(option, meaning);
    case 'text':
      return textLimits(option, meaning);
    case 'date':
    case 'counted-date':
      return phrase('A date or time, such as {0}', exampleDate(meaning));
    default:
      return undefined;
  }
}

function numberLimits(option: Option, meaning: NumberMeaning): Phrase {
  const { scale, unit } = meaning;
  const ends = stepRange(option, meaning)
    .map((step) => scaledStep(meaning, step))
    .sort((a, b) => a - b);
  const [low, high] = [meaning.min ?? ends[0], meaning.max ?? ends[1]].map((end) => Number(end?.toPrecision(12)));
  const most = withUnit(high ?? 0, unit);
  return Math.abs(scale) === 1
    ? phrase('A number from {0} to {1}', low ?? 0, most)
    : phrase('A number from {0} to {1}, in steps of {2}', low ?? 0, most, Math.abs(scale));
}
