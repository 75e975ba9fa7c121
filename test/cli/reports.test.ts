// What `check` tells other programs: SARIF by its published schema, annotations by published values, JUnit read by a
// parser of XML. Whatever is not good must be seen in each of them.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { Ajv } from 'ajv';
import { describe, it } from 'mocha';
import { type Element, parseStringPromise } from 'xml2js';
import { escapedMessage, escapedValue } from '../../server/src/cli/reports/github.js';
import { bench } from '../support/commandLine.js';

/**
 * OASIS, SARIF 2.1.0 with errata 01, sarif-schema-2.1.0.json, from oasis-tcs/sarif-spec at e058381. It is of JSON Schema
 * draft 04 and uses nothing that the later drafts, which the validator knows, read otherwise.
 */
const { $schema: _, id: _id, ...SCHEMA } = JSON.parse(readFileSync('test/outside/sarif-schema-2.1.0.json', 'utf8'));
const REAR = 'rear-body.cfgdump';
const SEALED = 'rear-body.as-found.cfgdump';
/** Named so that a place in a report could be misread. */
const ODD = 'a: 50% off, & <b> "c" \\d.cfgdump';

/** As much as is compared of the answer of `check --json`. */
interface CheckedFile {
  readonly file: string;
  readonly problems: readonly Readonly<Record<'code' | 'message' | 'line' | 'column' | 'endColumn', unknown>>[];
}

interface Location {
  readonly physicalLocation: {
    readonly artifactLocation: { readonly uri: string };
    readonly region?: { readonly startLine: number; readonly startColumn: number; readonly endColumn: number };
  };
}

interface Log {
  readonly runs: readonly {
    readonly invocations: readonly { readonly executionSuccessful: boolean }[];
    readonly tool: { readonly driver: { readonly rules: readonly { readonly id: string }[] } };
    readonly results: readonly {
      readonly ruleId: string;
      readonly level: string;
      readonly message: { readonly text: string };
      readonly locations: readonly [Location];
    }[];
  }[];
}

interface Suite extends Element {
  readonly testcase?: readonly (Element & { readonly failure?: readonly Element[] })[];
}

const NO_COUNTS = { tests: '', failures: '', errors: '', skipped: '', timestamp: '' };

describe('check tells other programs', () => {
  const { call, path, read, write } = bench();
  const wrong = (name: string) =>
    write(
      name,
      read(SEALED)
        .replace(/^@seal.*\n/m, '')
        .replace('| 57', '| 58'),
    );

  describe('as SARIF', () => {
    const validate = new Ajv({ strict: false, validateFormats: false }).compile(SCHEMA);
    const logOf = (...args: readonly string[]) => {
      const { status, stdout, stderr } = call('check', '--format', 'sarif', ...args);
      assert.equal(stderr, '');
      const log: Log = JSON.parse(stdout);
      assert.ok(validate(log), JSON.stringify(validate.errors));
      const [run] = log.runs;
      assert.ok(run);
      return { status, run };
    };

    it('the problems of `--json`, each at its place', () => {
      wrong(ODD);
      const { status, run } = logOf('.');
      const asJson = JSON.parse(call('check', '--json', '.').stdout);
      assert.equal(status, 1);
      const places = asJson.files.flatMap(({ file, problems }: CheckedFile) =>
        problems.map((one) => [file, one.code, one.message, one.line, one.column, one.endColumn]),
      );
      assert.ok(places.length > 2);
      assert.deepEqual(
        run.results.flatMap(({ ruleId, message, locations: [{ physicalLocation }] }) => {
          const { region, artifactLocation } = physicalLocation;
          return region
            ? [
                [
                  decodeURIComponent(artifactLocation.uri),
                  ruleId,
                  message.text,
                  region.startLine,
                  region.startColumn,
                  region.endColumn,
                ],
              ]
            : [];
        }),
        places,
      );
      const named = new Set(run.tool.driver.rules.map(({ id }) => id));
      assert.ok(run.results.every(({ ruleId }) => named.has(ruleId)));
    });

    it('a file that cannot be read as an error, and the run as not successful', () => {
      write('empty.cfgdump', '');
      const { status, run } = logOf(SEALED, 'empty.cfgdump', 'missing.cfgdump');
      assert.equal(status, 2);
      assert.deepEqual(
        run.results
          .filter(({ level }) => level !== 'note')
          .map(({ ruleId, level, locations: [{ physicalLocation }] }) => [
            ruleId,
            level,
            physicalLocation.artifactLocation.uri,
          ]),
        [
          ['file-not-read', 'error', 'empty.cfgdump'],
          ['file-not-read', 'error', 'missing.cfgdump'],
        ],
      );
      assert.deepEqual(run.invocations, [{ executionSuccessful: false }]);
    });

    it('what was not checked as a warning, though the status is 0', () => {
      write('unknown.cfgdump', '01: 11 22 33\n02: 44 55 66\n');
      const { status, run } = logOf('unknown.cfgdump');
      assert.equal(status, 0);
      assert.deepEqual(
        run.results.filter(({ level }) => level === 'warning').map(({ ruleId }) => ruleId),
        ['not-checked'],
      );
    });

    it('addresses that lead back to the files', () => {
      wrong(ODD);
      const [first] = logOf(path(ODD)).run.results;
      assert.ok(first);
      assert.equal(fileURLToPath(first.locations[0].physicalLocation.artifactLocation.uri), path(ODD));
      const [relative] = logOf(ODD).run.results;
      assert.ok(relative);
      const { uri } = relative.locations[0].physicalLocation.artifactLocation;
      assert.equal(fileURLToPath(new URL(uri, pathToFileURL(path('x')))), path(ODD));
    });

    it('nothing of good files', () => {
      const { status, run } = logOf(SEALED);
      assert.deepEqual([status, run.results], [0, []]);
    });
  });

  describe('as annotations of a workflow', () => {
    it('with the characters written that have a meaning in them', () => {
      // actions/toolkit, packages/core/__tests__/command.test.ts.
      assert.equal(
        escapedMessage('percent % percent % cr \r cr \r lf \n lf \n'),
        'percent %25 percent %25 cr %0D cr %0D lf %0A lf %0A',
      );
      assert.equal(escapedValue('colon : colon : comma , comma ,'), 'colon %3A colon %3A comma %2C comma %2C');
    });

    it('a line each, at its place', () => {
      wrong(ODD);
      const { status, stdout } = call('check', '--format', 'github', ODD, 'missing.cfgdump');
      assert.equal(status, 2);
      const lines = stdout.trimEnd().split('\n');
      assert.match(
        lines[0] ?? '',
        /^::error file=a%3A 50%25 off%2C & <b> "c" \\d\.cfgdump,line=\d+,endLine=\d+,col=\d+,endColumn=\d+,title=line-sum::/,
      );
      assert.match(lines.at(-1) ?? '', /^::error file=missing\.cfgdump,title=file-not-read::/);
      assert.ok(lines.every((line) => /^::(?:error|warning|notice) file=/.test(line)));
    });

    it('nothing of good files', () => {
      assert.deepEqual(call('check', '--format', 'github', SEALED), { status: 0, stdout: '', stderr: '' });
    });
  });

  describe('as JUnit XML', () => {
    const suiteOf = async (...args: readonly string[]) => {
      const { status, stdout } = call('check', '--format', 'junit', ...args);
      const read = await parseStringPromise(stdout, { strict: true, explicitCharkey: true });
      const { testsuite: suite = {} } = read as { readonly testsuite?: Suite };
      const { testcase: cases = [] } = suite;
      const outcomes = cases.map((one) => [one.$?.name, Object.keys(one).filter((key) => key !== '$')[0] ?? 'passed']);
      return { status, suite, cases, outcomes };
    };

    it('each file as a test, not passed unless it is good', async () => {
      wrong(ODD);
      write('unknown.cfgdump', '01: 11 22 33\n02: 44 55 66\n');
      const { status, suite, outcomes } = await suiteOf(SEALED, ODD, 'unknown.cfgdump', 'missing.cfgdump');
      assert.equal(status, 2);
      assert.deepEqual(outcomes, [
        [SEALED, 'passed'],
        [ODD, 'failure'],
        ['unknown.cfgdump', 'skipped'],
        ['missing.cfgdump', 'error'],
      ]);
      const { tests, failures, errors, skipped, timestamp } = { ...NO_COUNTS, ...suite.$ };
      assert.deepEqual([tests, failures, errors, skipped], ['4', '1', '1', '1']);
      // Without a zone (windyroad/JUnit-Schema, JUnit.xsd).
      assert.match(timestamp, /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d$/);
    });

    it('with the code and the words of what is wrong', async () => {
      wrong(REAR);
      const { cases } = await suiteOf(REAR);
      const [failure] = cases[0]?.failure ?? [];
      assert.equal(failure?.$?.type, 'line-sum');
      // At the same place as for people.
      const [, place = ''] = /^[^:]+:(\d+:\d+): error line-sum: /m.exec(call('check', REAR).stdout) ?? [];
      assert.notEqual(place, '');
      assert.ok(failure?._?.startsWith(`${place}: error line-sum: `), failure?._);
    });
  });

  it('or people, and one of them at a time', () => {
    wrong(ODD);
    assert.deepEqual(call('check', '--format', 'text', ODD), call('check', ODD));
    assert.deepEqual(call('check', '--format', 'json', ODD), call('check', '--json', ODD));
    const both = call('check', '--json', '--format', 'sarif', ODD);
    assert.deepEqual([both.status, both.stdout], [2, '']);
    assert.match(both.stderr, /--json.*--format/);
    assert.match(call('check', '--format', 'xml', ODD).stderr, /text, json, sarif, github, junit/);
  });
});
