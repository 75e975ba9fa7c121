import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { describe, it } from 'mocha';

interface Accepted {
  readonly path: string;
  readonly inLine: string;
  readonly from: string;
  readonly to: string;
  readonly reason: string;
}

const ACCEPTED = JSON.parse(readFileSync('test/mutants/accepted.json', 'utf8')) as readonly Accepted[];

function linesOf(path: string): ReadonlySet<string> {
  const text = existsSync(path) ? readFileSync(path, 'utf8') : '';
  return new Set(text.split('\n').map((line) => line.trim()));
}

describe('the mutants that are accepted', () => {
  it('are each in a line of a file that is there', () => {
    assert.ok(ACCEPTED.length > 100);
    const lines = new Map([...new Set(ACCEPTED.map(({ path }) => path))].map((path) => [path, linesOf(path)]));
    const gone = ACCEPTED.filter(({ path, inLine }) => inLine === '' || !lines.get(path)?.has(inLine));
    assert.deepEqual(
      gone.map(({ path, inLine }) => `${path}: ${inLine}`),
      [],
      'their code is gone: take them out of test/mutants/accepted.json',
    );
  });

  it('have each a reason of a known kind, and are there once', () => {
    const kind = /^(?:speed|unreachable|equal|words): \S/;
    assert.deepEqual(
      ACCEPTED.filter(({ reason }) => !kind.test(reason)),
      [],
    );
    const keys = ACCEPTED.map(({ path, inLine, from, to }) => JSON.stringify([path, inLine, from, to]));
    assert.equal(new Set(keys).size, keys.length);
  });
});
