import type { Phrase } from '../../../../shared-core/src/base/index.js';
import type { Found } from '../found.js';
import { escapedText, sayOnTerminal } from '../say.js';
import { type Reported, UNCHECKED, UNREAD } from './report.js';

/**
 * A check of each file as a test, in the XML that JUnit made common (windyroad/JUnit-Schema): not read is an error, what
 * makes the status 1 a failure, and a file of which something was not checked is skipped, never passed.
 */
export function junitReport(files: readonly Reported[], at: Date): string {
  const cases = files.map((file) => ({ file, ...outcomeOf(file) }));
  const count = (kind: string) => cases.filter((one) => one.kind === kind).length;
  const time = files.reduce((sum, file) => sum + file.time, 0);
  const suite = attributes({
    name: 'countersum check',
    timestamp: at.toISOString().slice(0, 19),
    hostname: 'localhost',
    tests: files.length,
    failures: count('failure'),
    errors: count('error'),
    skipped: count('skipped'),
    time: time.toFixed(3),
  });
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuite${suite}>`,
    '  <properties/>',
    ...cases.flatMap(({ file: { name, time: took }, kind, type, says }) => {
      const head = `  <testcase${attributes({ name, classname: 'countersum', time: took.toFixed(3) })}`;
      if (kind === 'passed') return [`${head}/>`];
      const [first = ''] = says;
      const about = kind === 'skipped' ? { message: first } : { type, message: first };
      return [`${head}>`, `    <${kind}${attributes(about)}>${escaped(says.join('\n'))}</${kind}>`, '  </testcase>'];
    }),
    '  <system-out/>',
    '  <system-err/>',
    '</testsuite>',
    '',
  ].join('\n');
}

function outcomeOf({ problems, unread, unchecked, status }: Reported) {
  if (unread !== undefined) return { kind: 'error', type: UNREAD, says: inWords([unread]) } as const;
  const wrong = problems.filter(({ severity }) => severity !== 'information');
  const says = [...wrong.map(ofPlace), ...inWords(unchecked)];
  if (status > 0) return { kind: 'failure', type: wrong[0]?.code ?? UNCHECKED, says } as const;
  return { kind: says.length > 0 ? 'skipped' : 'passed', type: UNCHECKED, says } as const;
}

function ofPlace({ file, row, start, severity, code, message }: Found): string {
  return `${file === undefined ? '' : `${file}:`}${row + 1}:${start + 1}: ${severity} ${code}: ${sayOnTerminal(message)}`;
}

function inWords(all: readonly Phrase[]): readonly string[] {
  return all.map(sayOnTerminal);
}

function attributes(values: Readonly<Record<string, string | number>>): string {
  return Object.entries(values)
    .map(([name, value]) => ` ${name}="${escaped(String(value)).replaceAll('\n', '&#10;')}"`)
    .join('');
}

/** Characters for which XML 1.0 has no place are shown by their codes, those that it uses itself as references. */
function escaped(text: string): string {
  return escapedText(text)
    .replace(/[\ud800-\udfff\ufffe\uffff]/gu, '?')
    .replace(/[&<>"\t\r]/g, (character) => `&#${character.charCodeAt(0)};`);
}
