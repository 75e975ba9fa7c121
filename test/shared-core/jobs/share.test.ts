// Copies for others of dumps whose bytes are in several places, move, or are sealed.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { shareDumps } from '../../../shared-core/src/jobs/index.js';
import { bind } from '../../../shared-core/src/model/dump.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { RECORD, record, slotted } from '../../support/slots.js';

const shared = (dump: Dump) => {
  const name = 'a.hex';
  const source = {
    ...{ file: 'file:///a.hex', name, dump, profile: { kind: 'read' } as const },
    ...{ profileFile: undefined, backupFile: undefined },
  };
  const result = shareDumps([source], []);
  assert.ok(result.ok, JSON.stringify(result));
  const [copy] = result.value.dumps;
  assert.ok(copy);
  return { copy, dump: bind(readRows(copy.text, dump.notation), dump.notation, dump.profile.asRead ?? dump.profile) };
};

const problems = (dump: Dump) =>
  checkDump({ dump, profile: { kind: 'read' }, backup: { kind: 'none' }, modules: () => [] }).map(({ code }) => code);

describe('a copy for others', () => {
  const PERSONAL = {
    ...RECORD,
    options: [
      ...RECORD.options,
      {
        id: 'code',
        title: 'Owner code',
        slot: 'record',
        offset: 8,
        length: 4,
        number: { coding: 'bcd' },
        personal: true,
      },
    ],
  };

  it('has something invented in every slot of a record that moves, each with its right check', () => {
    const dump = slotted([record(5), record(6), record(7)], PERSONAL);
    const before = problems(dump);
    const { dump: after } = shared(dump);
    assert.deepEqual(problems(after), before);
    assert.doesNotMatch(textOfRows(after.rows), /11223344/);
  });

  it('of a sealed dump has a seal over what it holds itself; one that does not hold is left out', () => {
    const dump = slotted([record(5), record(6), record(7)], PERSONAL);
    const sealed = (seal: string) => {
      const text = `${textOfRows(dump.rows)}\n# @seal ${seal}\n`;
      return bind(readRows(text, dump.notation), dump.notation, dump.profile.asRead ?? dump.profile);
    };
    const anew = shared(sealed(sealOf(dump)));
    assert.equal(anew.copy.seal, 'anew');
    assert.equal(anew.dump.sealHolds, true);
    const dropped = shared(sealed(`sha256:${'0'.repeat(64)}`));
    assert.equal(dropped.copy.seal, 'dropped');
    assert.doesNotMatch(dropped.copy.text, /@seal/);
  });
});
