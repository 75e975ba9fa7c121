import { isAbsolute } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Phrase } from '../../../../shared-core/src/base/index.js';
import { DIAGNOSTICS } from '../../../../shared-core/src/checks/index.js';
import type { Found } from '../found.js';
import { say } from '../say.js';
import { type Reported, UNCHECKED, UNREAD } from './report.js';

const LEVELS = { error: 'error', warning: 'warning', information: 'note' } as const;

type Level = (typeof LEVELS)[keyof typeof LEVELS];

interface Rule {
  readonly id: string;
  readonly shortDescription?: { readonly text: string };
}

/** Problems as a log of SARIF 2.1.0 (OASIS), for programs that gather what checks of many kinds have found. */
export function sarifLog(files: readonly Reported[], version: string): object {
  const results = files.flatMap(({ name, problems, unread, unchecked }) => [
    ...(unread === undefined ? [] : [ofFile(UNREAD, 'error', unread, name)]),
    ...problems.map((problem) => ofPlace(problem, name)),
    ...unchecked.map((what) => ofFile(UNCHECKED, 'warning', what, name)),
  ]);
  const codes = [...new Set(results.map(({ ruleId }) => ruleId))].sort();
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Countersum', version, rules: codes.map(ruleOf) } },
        columnKind: 'utf16CodeUnits',
        artifacts: files.map(({ name }) => ({ location: { uri: addressOf(name) } })),
        invocations: [{ executionSuccessful: files.every(({ unread }) => unread === undefined) }],
        results,
      },
    ],
  };
}

function ruleOf(id: string): Rule {
  const known = Object.entries(DIAGNOSTICS).find(([code]) => code === id)?.[1];
  return { id, ...(known && { shortDescription: { text: known.meaning } }) };
}

function ofFile(ruleId: string, level: Level, message: Phrase, name: string) {
  const physicalLocation = { artifactLocation: { uri: addressOf(name) } };
  return { ruleId, level, message: { text: say(message) }, locations: [{ physicalLocation }] };
}

/** Lines and columns are counted from 1, columns in UTF-16 units, the end column exclusive. */
function ofPlace({ file, code, severity, message, row, start, endRow = row, end }: Found, name: string) {
  const region = { startLine: row + 1, startColumn: start + 1, endLine: endRow + 1, endColumn: end + 1 };
  const physicalLocation = { artifactLocation: { uri: addressOf(file ?? name) }, region };
  return { ruleId: code, level: LEVELS[severity], message: { text: say(message) }, locations: [{ physicalLocation }] };
}

/** A file as the reference of RFC 3986 that leads from the current folder to it. */
function addressOf(name: string): string {
  if (isAbsolute(name)) return pathToFileURL(name).href;
  const parts = name.split(process.platform === 'win32' ? /[\\/]/ : '/').map(encodeURIComponent);
  // A colon in the first part would be taken for the end of a scheme; it is encoded.
  return parts.join('/');
}
