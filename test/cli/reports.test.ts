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
    readonly tool: {
      readonly driver: {
        readonly rules: readonly { readonly id: string; readonly shortDescription?: { readonly text: string } }[];
      };
    };
    readonly results: readonly {
      readonly ruleId: string;
      readonly level: string;
      readonly message: { readonly text: string };
      readonly locations: readonly [Location];
    }[];
  }[];
}

interface Suite extends Element {
  readonly testcase?: readonly (Element & {
    readonly failure?: readonly Element[];
    readonly skipped?: readonly Element[];
  })[];
}

const XML = { strict: true, explicitCharkey: true } as const;
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
      const read = await parseStringPromise(stdout, XML);
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

  describe('in every form the same:', () => {
    interface Told {
      readonly file: string;
      readonly severity: 'error' | 'warning' | 'information';
      readonly code: string;
      readonly message: string;
      readonly line: number;
      readonly column: number;
      readonly endLine: number;
      readonly endColumn: number;
    }
    /** Problems of each severity, over one row and over several, in a dump and in the headers beside it. */
    const toldOf = (): {
      readonly told: readonly Told[];
      readonly unchecked: readonly (readonly [string, string])[];
    } => {
      wrong(ODD);
      write('counted.s19', 'S1040010006B\nS5030001FB\n');
      write('view.xxd', `00000000: ${'00 '.repeat(16)} ${'.'.repeat(16)}\n`);
      write('view.xxd.dump-headers', '# x\n@profile gone.dump-profile.json\n@sael x\n');
      const option = '{ "id": "a", "title": "A", "line": 1, "byte": 1,\n "values": { "0": "no" } }';
      const lines = '"lines": { "from": 1, "to": 1, "data": 1, "sum": 0 }';
      write('twice.dump-profile.json', `{ "format": 1, ${lines},\n "options": [\n  ${option},\n  ${option} ] }\n`);
      const { files } = JSON.parse(call('check', '--json', '.').stdout);
      const told: readonly Told[] = files.flatMap(
        ({ file, problems }: { readonly file: string; readonly problems: readonly Told[] }) =>
          problems.map((one) => ({ ...one, file: one.file ?? file })),
      );
      assert.deepEqual([...new Set(told.map(({ severity }) => severity))].sort(), ['error', 'information', 'warning']);
      assert.ok(told.some(({ line, endLine }) => endLine > line));
      assert.ok(told.some(({ file, line }) => file === 'view.xxd.dump-headers' && line === 3));
      const unchecked = files.flatMap(
        ({ file, unchecked }: { readonly file: string; readonly unchecked: readonly string[] }) =>
          unchecked.map((what) => [file, what] as const),
      );
      assert.ok(unchecked.length > 0);
      return { told, unchecked };
    };

    it('SARIF has each problem from its first to its last character, as grave as it is', () => {
      const { told, unchecked } = toldOf();
      const levels = { error: 'error', warning: 'warning', information: 'note' };
      const log: Log = JSON.parse(call('check', '--format', 'sarif', '.').stdout);
      const results = (log.runs[0]?.results ?? []).map(
        ({ ruleId, level, message, locations: [{ physicalLocation }] }) => {
          const { region, artifactLocation } = physicalLocation;
          return [decodeURIComponent(artifactLocation.uri), level, ruleId, message.text, region];
        },
      );
      const ofProblem = ({ file, severity, code, message, line, column, endLine, endColumn }: Told) => [
        ...[file, levels[severity], code, message],
        { startLine: line, startColumn: column, endLine, endColumn },
      ];
      assert.deepEqual(
        results.filter(([, , code]) => code !== 'not-checked'),
        told.map(ofProblem),
      );
      assert.deepEqual(
        results.filter(([, , code]) => code === 'not-checked'),
        unchecked.map(([file, what]) => [file, 'warning', 'not-checked', what, undefined]),
      );
      // What each code means is said once, in the order of the codes.
      const rules = log.runs[0]?.tool.driver.rules ?? [];
      assert.deepEqual(
        rules.map(({ id }) => id),
        [...new Set(results.map(([, , code]) => String(code)))].sort(),
      );
      for (const { id, shortDescription } of rules) assert.ok(shortDescription?.text, id);
    });

    it('annotations name the columns of what is in one line, and only the lines of what is in several', () => {
      const { told, unchecked } = toldOf();
      const levels = { error: 'error', warning: 'warning', information: 'notice' };
      const ofProblem = ({ file, severity, code, message, line, column, endLine, endColumn }: Told) => {
        const columns = line === endLine ? `,col=${column},endColumn=${endColumn}` : '';
        const place = `file=${escapedValue(file)},line=${line},endLine=${endLine}${columns}`;
        return `::${levels[severity]} ${place},title=${code}::${escapedMessage(message)}`;
      };
      const lines = call('check', '--format', 'github', '.').stdout.trimEnd().split('\n');
      const isUnchecked = (line: string) => line.includes(',title=not-checked::');
      assert.deepEqual(
        lines.filter((line) => !isUnchecked(line)),
        told.map(ofProblem),
      );
      assert.deepEqual(
        lines.filter(isUnchecked),
        unchecked.map(
          ([file, what]) => `::warning file=${escapedValue(file)},title=not-checked::${escapedMessage(what)}`,
        ),
      );
    });

    it('JUnit has all that is wrong and all that was not checked in the one text of its file', async () => {
      const { told, unchecked } = toldOf();
      const read = await parseStringPromise(call('check', '--format', 'junit', '.').stdout, XML);
      const { testsuite: suite = {} } = read as { readonly testsuite?: Suite };
      for (const { $: names, failure, skipped } of suite.testcase ?? []) {
        const name = names?.name ?? '';
        const isOf = (file: string) => file === name || file === `${name}.dump-headers`;
        const wanted = [
          ...told
            .filter(({ file, severity }) => isOf(file) && severity !== 'information')
            .map(({ file, line, column, severity, code, message }) => {
              const place = [...(file === name ? [] : [file]), line, column].join(':');
              return `${place}: ${severity} ${code}: ${message}`;
            }),
          ...unchecked.filter(([file]) => file === name).map(([, what]) => what),
        ];
        const [text] = [...(failure ?? []), ...(skipped ?? [])];
        assert.equal(text?._ ?? '', wanted.join('\n'), name);
        assert.equal(text?.$?.message, wanted[0], name);
      }
      // Names and values that its schema requires (windyroad/JUnit-Schema, JUnit.xsd, from memory).
      assert.deepEqual(Object.keys(suite.$ ?? {}).sort(), [
        ...['errors', 'failures', 'hostname', 'name', 'skipped', 'tests', 'time', 'timestamp'],
      ]);
      assert.ok(Object.values(suite.$ ?? {}).every((value) => value !== ''));
      assert.deepEqual(
        Object.keys(suite).filter((key) => key !== '$'),
        [...['properties', 'testcase', 'system-out', 'system-err']],
      );
      for (const { $: values } of suite.testcase ?? []) {
        assert.deepEqual(Object.keys(values ?? {}).sort(), ['classname', 'name', 'time']);
        assert.ok(Object.values(values ?? {}).every((value) => value !== ''));
      }
    });

    it('the time of a suite is that of its files together, in seconds', async () => {
      const began = performance.now();
      const read = await parseStringPromise(call('check', '--format', 'junit', '.').stdout, XML);
      const passed = (performance.now() - began) / 1000;
      const { testsuite: suite = {} } = read as { readonly testsuite?: Suite };
      const times = (suite.testcase ?? []).map(({ $: values }) => Number(values?.time));
      const all = Number(suite.$?.time);
      assert.ok(times.every((time) => time >= 0));
      // Each is rounded to a thousandth.
      assert.ok(Math.abs(times.reduce((sum, time) => sum + time, 0) - all) <= 0.001 * (times.length + 1));
      assert.ok(all <= passed + 0.001, 'no longer than the whole call');
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
