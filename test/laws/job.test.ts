import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { textOfRows } from '../../shared-core/src/format/index.js';
import {
  jobCard,
  type NamedDump,
  readBackPage,
  vehicleRecord,
  verifyReadBack,
} from '../../shared-core/src/jobs/index.js';
import { afterWrites } from '../../shared-core/src/model/byteWrite.js';
import { type ByteWrite, byteAt, cellKey, type Dump, presentCells } from '../../shared-core/src/model/index.js';
import { wrongTotals } from '../../shared-core/src/model/totalReading.js';
import { demoDump } from '../support/demo.js';
import { edited } from '../support/edits.js';
import { LATER } from '../support/later.js';
import { loaded } from '../support/loaded.js';

const dump = demoDump('rear-body.as-found.cfgdump');
const volatile = new Set(dump.profile.volatile.flatMap(({ place }) => presentCells(dump.layout, place)).map(cellKey));

/** Bytes written anywhere in the lines and the total; volatile ones more often than by chance. */
const cells = dump.rows.flatMap((found, row) =>
  found.kind === 'record' ? Array.from({ length: found.count }, (_, byte) => ({ row, byte })) : [],
);
const cell = fc.oneof(fc.constantFrom(...cells), fc.constantFrom(...cells.filter((one) => volatile.has(cellKey(one)))));
const writes = fc.array(
  fc.tuple(cell, fc.nat(255)).map(([at, value]): ByteWrite => ({ ...at, value, reason: 'restore' })),
  { maxLength: 4 },
);
const named = (name: string, one: Dump): NamedDump => ({
  name,
  dump: one,
  problems: checkDump(loaded(one, { kind: 'none' }, { kind: 'none' })),
  unchecked: [],
});

describe('laws of the read-back', () => {
  it('what differs at no place but those that change by themselves matches where all sums are right; what differs in data elsewhere never does', () => {
    fc.assert(
      fc.property(writes, (list) => {
        const read = afterWrites(dump, list);
        const changed = list
          .filter((write) => byteAt(read.rows, write) !== byteAt(dump.rows, write))
          .map(({ row, byte }) => ({ key: cellKey({ row, byte }), isData: byte < (dump.layout.dataCount[row] ?? 0) }));
        const { matches, lines, ignored, unmatched } = verifyReadBack(dump, read, undefined);
        const isSteady = changed.some(({ key, isData }) => isData && !volatile.has(key));
        if (isSteady) assert.equal(matches, false);
        const isSound = read.wrongSums.length === 0 && wrongTotals(read).length === 0;
        if (changed.every(({ key }) => volatile.has(key))) assert.equal(matches, isSound);
        if (matches) assert.ok(isSound);
        assert.equal(matches, lines.length + unmatched.length === 0);
        assert.equal(ignored.length + lines.length, new Set(changed.map(({ key }) => Math.floor(key / 0x10000))).size);
      }),
    );
  });
});

describe('laws of the pages of a job', () => {
  /** The demo with lines torn out, doubled and overwritten by anything. */
  const torn = fc
    .array(fc.tuple(fc.nat(40), fc.oneof(fc.string(), fc.constantFrom('', '4: 00', '@vin <b>', '@seal x'))), {
      maxLength: 5,
    })
    .map((changes) =>
      edited(dump, (text) => {
        const lines = text.split('\n');
        for (const [at, line] of changes) if (at < lines.length) lines[at] = line.replace(/[\r\n]/g, ' ');
        return lines.join('\n');
      }),
    );
  const tags = /(?<!\\)<(?!\/?(?:code|small)>)/;
  /** A page without the folds that the record itself makes. */
  const unfolded = (page: string) =>
    page.replaceAll('\n<details>\n<summary>Changed lines</summary>\n', '').replaceAll('\n</details>\n', '');

  it('are made of any dumps, and hold no HTML that a person wrote', () => {
    fc.assert(
      fc.property(torn, torn, fc.string(), (one, other, title) => {
        const [before, after] = [named('a.cfgdump', one), named(`${title}.cfgdump`, other)];
        const retrofit = { title, before: [], changes: [], after: [title], try: [], cautions: [title] };
        const modules = [{ before, after, change: undefined }];
        const pages = [
          jobCard({ modules, retrofit, time: '2026-03-02T10:00:00Z' }, (said) => say(said)).text,
          readBackPage(verifyReadBack(one, other, dump), before, after, (said) => say(said)),
          vehicleRecord({ dumps: [before, after], retrofits: [], cards: [title], now: LATER }, (said) => say(said))
            .text,
        ];
        for (const page of pages) assert.doesNotMatch(unfolded(page), tags, textOfRows(other.rows));
      }),
      { numRuns: 60 },
    );
  });
});
