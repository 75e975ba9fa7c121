import { hex } from '../base/hex.js';
import { lines, plain, plainParts, tableRow } from '../base/markdown.js';
import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import { type Comparison, compareDumps, differs } from '../compare/compareDumps.js';
import { reasonInWords } from '../compare/comparisonInWords.js';
import { guardedInWords } from '../compare/guarded.js';
import { doubtOf } from '../options/doubt.js';
import { caution } from '../options/hazard.js';
import { moduleTitle } from './moduleTitle.js';
import type { LeftAside, ModulePlan, Plan, RefusedPlan } from './plan.js';
import type { Retrofit } from './retrofit.js';
import { type VehicleAtHand, vehicleInWords } from './vehicles.js';

/** A plan as a page in Markdown: what would change in each module, or what is in the way and what to do about it. */
export function planPage(
  { title, cautions }: Retrofit,
  vehicle: Pick<VehicleAtHand, 'title' | 'vin'>,
  plan: Plan,
): Phrase {
  const named = plain(vehicleInWords(vehicle));
  const head = [phrase('# Plan: {0}', plain(title ?? '–')), '', phrase('Vehicle: {0}', named), ''];
  const aside = asideLines(plan.aside);
  if (plan.kind === 'refused') return lines([...head, ...refused(plan), ...aside]);
  return lines([
    ...head,
    ...plan.modules.flatMap(moduleLines),
    ...aside,
    ...cautionLines([...plan.modules.flatMap(cautionsOf), ...plan.modules.flatMap(doubtsOf)], cautions),
    plan.modules.some((module) => differs(comparisonOf(module)))
      ? phrase(
          'Nothing is changed until you accept it. Save the dumps afterwards, and write them only with what must be fitted in place.',
        )
      : phrase(
          'All of it is set in these dumps already, so there is nothing to accept. If they are not in the car yet, write them only with what must be fitted in place.',
        ),
    '',
    phrase('Once they are written, switch the ignition off and on, then try the function in the car.'),
    '',
  ]);
}

function comparisonOf({ before, change }: ModulePlan): Comparison {
  return compareDumps(before, change.after);
}

/** What people call a module, and below it the file that this is about. */
function moduleHead(file: string, title: string = file): PhrasePart[] {
  return [`## ${plain(title)}`, '', ...(title === file ? [] : [plain(file), ''])];
}

function refused({ refusals, titles }: RefusedPlan): PhrasePart[] {
  const modules = [...new Set(refusals.map(({ module }) => module))];
  return [
    phrase(
      '**This cannot be done yet, and nothing was changed in any module.** Correct what is listed here, then plan again.',
    ),
    '',
    ...modules.flatMap((module) => [
      ...moduleHead(module, titles.get(module)),
      ...refusals.filter((refusal) => refusal.module === module).map(({ why }) => phrase('- {0}', plainParts(why))),
      '',
    ]),
  ];
}

function moduleLines(module: ModulePlan): PhrasePart[] {
  const { name, before, options } = module;
  const comparison = comparisonOf(module);
  const heading = moduleHead(name, moduleTitle([{ name, dump: before }]));
  const wanted = options.map(({ option, before: old, after: now, shown }) => {
    const parts = [plain(option.title), ...[shown.before, shown.after].map((one) => plainParts(phrase('{0}', one)))];
    return old === now ? phrase('- {0}: {1}, as it is already', ...parts) : phrase('- {0}: {1} → **{2}**', ...parts);
  });
  if (!differs(comparison)) return [...heading, ...wanted, '', phrase('Nothing to change: all is as planned.'), ''];
  const rows = comparison.lines.flatMap(({ called, bytes }) =>
    bytes.map(({ byte, before: old, after: now, reason }) =>
      tableRow([plain(called), byte, digits(old), digits(now), reasonInWords(reason)]),
    ),
  );
  const names = comparison.guarded.map((one) => ({
    ...one,
    name: typeof one.name === 'string' ? plain(one.name) : one.name,
  }));
  const guarded = guardedInWords(names).map((said) => phrase('- **{0}**', said));
  return [
    ...heading,
    ...guarded,
    ...wanted,
    '',
    tableRow([phrase('line'), phrase('byte'), phrase('now'), phrase('planned'), phrase('what it is')]),
    '| ---: | ---: | --- | --- | --- |',
    ...rows,
    '',
  ];
}

/**
 * The cautions of the change of a module, and those of options that are set already, as the dump may still have to be written;
 * each with its file: a row in one is a row of that file.
 */
function cautionsOf({ name, change, options }: ModulePlan): readonly Phrase[] {
  const ofSet = options.flatMap(({ option: { title, hazards }, before, after }) => {
    const says = before === after ? caution(hazards) : undefined;
    return says === undefined ? [] : phrase('{0}: {1}', title, says);
  });
  return [...change.cautions, ...ofSet].map((said) => phrase('{0}: {1}', plain(name), plainParts(said)));
}

/** What is not sure of the options, of those that are set already too. */
function doubtsOf({ options }: ModulePlan): readonly Phrase[] {
  return options.flatMap(({ option }) => doubtOf(option) ?? []).map(plainParts);
}

function digits(value: number | undefined): string {
  return value === undefined ? '–' : `\`${hex(value)}\``;
}

function asideLines(aside: readonly LeftAside[]): PhrasePart[] {
  if (aside.length === 0) return [];
  return [
    phrase('## Left aside'),
    '',
    ...aside.map(({ name, why }) => phrase('- {0}: {1}', plain(name), plainParts(why))),
    '',
  ];
}

function cautionLines(ofChanges: readonly Phrase[], own: readonly string[]): PhrasePart[] {
  if (ofChanges.length + own.length === 0) return [];
  return [
    phrase('## Cautions'),
    '',
    ...ofChanges.map((said) => phrase('- {0}', said)),
    ...own.map((text) => `- ${plain(text)}`),
    '',
  ];
}
