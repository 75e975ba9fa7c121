import { lines, plain, plainParts, tableRow } from '../base/markdown.js';
import { type Phrase, type PhrasePart, phrase } from '../base/phrase.js';
import type { FleetCell, FleetRow, FleetState } from './fleet.js';
import type { NamedProfile } from './plan.js';
import type { Retrofit } from './retrofit.js';

/** A fleet as a page in Markdown: a table of cars and modules, then what is in the way of each car. */
export function fleetPage(
  { title, changes, cautions }: Retrofit,
  profileAt: (path: string) => NamedProfile,
  rows: readonly FleetRow[],
): Phrase {
  const titles = changes.map(({ profile }) => profileAt(profile).profile?.title ?? profile);
  return lines([
    phrase('# Plan: {0}', plain(title ?? '–')),
    '',
    tableRow([phrase('car'), ...titles.map(plain), phrase('all modules')]),
    `| --- ${titles.map(() => '| --- ').join('')}| --- |`,
    ...rows.map((row) =>
      tableRow([plain(row.title), ...row.modules.map(({ state }) => stateInWords(state)), stateInWords(row.state)]),
    ),
    '',
    countsInWords(rows),
    '',
    ...whyLines(rows),
    ...(cautions.length === 0 ? [] : [phrase('## Cautions'), '', ...cautions.map((text) => `- ${plain(text)}`), '']),
  ]);
}

/** How many cars are how far. */
export function countsInWords(rows: readonly FleetRow[]): Phrase {
  const count = (state: FleetState) => rows.filter((row) => row.state === state).length;
  return phrase(
    'Cars that are as planned already: {0}, written now: {1}, possible: {2}, with something in the way: {3}, that cannot be read: {4}',
    count('done'),
    count('written'),
    count('possible'),
    count('in-the-way'),
    count('unread'),
  );
}

/** What is in the way of a car, module by module. */
export function reasonsOf(row: FleetRow): readonly Phrase[] {
  const ofModule = ({ profile, names, why }: FleetCell) =>
    why.map((one) => phrase('{0}: {1}', names.length === 1 ? (names[0] ?? '') : profile, one));
  return [...row.why, ...row.modules.flatMap(ofModule)];
}

function whyLines(rows: readonly FleetRow[]): readonly PhrasePart[] {
  const stopped = rows.filter((row) => reasonsOf(row).length > 0);
  if (stopped.length === 0) return [];
  return [
    phrase('## In the way'),
    '',
    ...stopped.flatMap((row) => [
      `### ${plain(row.title)}`,
      '',
      ...reasonsOf(row).map((why) => phrase('- {0}', plainParts(why))),
      '',
    ]),
  ];
}

function stateInWords(state: FleetState): Phrase {
  if (state === 'done') return phrase('done');
  if (state === 'possible') return phrase('possible');
  if (state === 'written') return phrase('written');
  if (state === 'in-the-way') return phrase('in the way');
  if (state === 'unread') return phrase('cannot be read');
  return phrase('waits');
}
