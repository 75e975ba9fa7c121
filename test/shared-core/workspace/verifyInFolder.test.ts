import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { done, type Phrase, phrase, type Result, refuse, say } from '../../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { verifyInFolder } from '../../../shared-core/src/workspace/index.js';
import { lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf({ lines: { from: 1, to: 2, data: 2, sum: 0 } });
const PROFILE_FILE = 'file:///car/p.dump-profile.json';
const SOUND_READING = readProfile('{"format": 1}');
const TORN_READING = readProfile('{"format": ');
const LIST = { dumps: ['file:///car/other.cfgdump'], profiles: [], retrofits: [], cards: [], unlisted: [] };
const of = (head: string, text = '1: 01 02\n2: 03 04\n') => lines(PROFILE, `@vehicle stock no. 7\n${head}${text}`);

describe('what was read is what was planned, beside another reading of the module in the folder', () => {
  const planned = of('@backup found.cfgdump\n@part P-1\n');
  const read = { file: 'file:///car/read.cfgdump', dump: of('@taken 2026-03-02T10:00:00Z\n') };
  const other = of('@taken 2026-03-02T11:00:00Z\n');
  const FILE = 'file:///car/other.cfgdump';
  type Among = Awaited<ReturnType<Parameters<typeof verifyInFolder>[0]['unsealedAmong']>>;
  const named: Among = {
    dumps: [{ file: FILE, name: 'other.cfgdump', dump: other, profileFile: PROFILE_FILE }],
    unnamed: [],
    unread: [],
  };
  const verified = (
    reading: Result<Dump>,
    among = named,
    unlisted: readonly Phrase[] = [],
    proof = read,
    backup: LoadedDump['backup'] = { kind: 'none' },
  ) =>
    verifyInFolder(
      {
        list: async () => ({ ...LIST, unlisted }),
        readDump: async () => reading,
        readProfile: async (file) =>
          file.endsWith('gone') ? refuse(phrase('gone')) : done(file.endsWith('torn') ? TORN_READING : SOUND_READING),
        unsealedAmong: async () => among,
      },
      { dump: planned, file: 'file:///car/work.cfgdump', backup, profileFile: PROFILE_FILE },
      proof,
      '2026-03-03T00:00:00Z',
    );
  async function showsNothing(verification: ReturnType<typeof verified>, why: RegExp) {
    const { matches, unmatched } = await verification;
    assert.equal(matches, false);
    assert.match(unmatched.map((said) => say(said)).join(), why);
  }
  const DIFFERS = done(of('@taken 2026-03-02T11:00:00Z\n', '1: 01 02\n2: 03 05\n'));

  it('holds where that is as planned too, and shows nothing where it differs or cannot be read', async () => {
    assert.equal((await verified(done(other))).matches, true);
    await showsNothing(verified(DIFFERS), /^other\.cfgdump, read later, differs/);
    await showsNothing(verified(refuse(phrase('torn'))), /^other\.cfgdump cannot be read: torn$/);
    await showsNothing(verified(done(of('@taken 2026-03-02T11:00:00Z\n', ''))), /^other\.cfgdump, read later, differs/);
  });

  it('shows nothing either where nobody can tell of which module that is', async () => {
    const among: Among = { dumps: [], unnamed: [{ file: FILE, name: 'other.cfgdump', dump: other }], unread: [] };
    assert.equal((await verified(done(other), among)).matches, true);
    await showsNothing(verified(DIFFERS, among), /^other\.cfgdump, read later, differs/);
    for (const gone of ['file:///car/gone', 'file:///car/torn', 'file:///car/sound']) {
      const [head] = named.dumps;
      const other: Among = { ...named, dumps: head === undefined ? [] : [{ ...head, profileFile: gone }] };
      const verification = verified(DIFFERS, other);
      if (!gone.endsWith('sound')) await showsNothing(verification, /^other\.cfgdump, read later, differs/);
      else assert.equal((await verification).matches, true, 'a profile that can be read is of another module');
    }
    const torn = of('@taken 2026-03-02T11:00:00Z\n', '1: 01 02\n');
    await showsNothing(verified(done(torn), among), /^other\.cfgdump, read later, differs/);
    const ofPart = (part: string): Among => {
      const dump = of(`@taken 2026-03-02T11:00:00Z\n@part ${part}\n`, '1: 01 02\n');
      return { ...named, dumps: named.dumps.map((one) => ({ ...one, dump, profileFile: 'file:///car/q' })) };
    };
    await showsNothing(verified(done(torn), ofPart('p-1')), /^other\.cfgdump, read later, differs/);
    assert.equal((await verified(done(torn), ofPart('P-2'))).matches, true);
    const nameless = (text: string) => lines(PROFILE, `@taken 2026-03-02T11:00:00Z\n${text}`);
    const ofNone: Among = { ...among, unnamed: [{ file: FILE, name: 'other.cfgdump', dump: nameless('') }] };
    await showsNothing(
      verified(done(nameless('1: 01 02\n2: 03 05\n')), ofNone),
      /^other\.cfgdump, read later, differs/,
    );
  });

  it('shows nothing beside that where only it says when it was read', async () => {
    const undated = { ...read, dump: of('') };
    assert.equal((await verified(done(other), named, [], undated)).matches, true);
    await showsNothing(
      verified(DIFFERS, named, [], undated),
      /^other\.cfgdump differs from the plan and may be later: /,
    );
  });

  it('shows nothing where it was not read later than the backup for all that is known', async () => {
    const none: Among = { dumps: [], unnamed: [], unread: [] };
    const sealed = of('@taken 2026-03-02T09:00:00Z\n', '1: 01 02\n2: 03 00\n');
    const backup = { kind: 'read', dump: sealed } as const;
    const at = (taken: string) => verified(done(other), none, [], { ...read, dump: of(`@taken ${taken}\n`) }, backup);
    assert.equal((await at('2026-03-02T10:00:00Z')).matches, true);
    await showsNothing(at('2026-03-02'), /does not tell which of them was read later\.$/);
    await showsNothing(at('2027-01-01'), /is in the future/);
  });

  it('shows nothing where it says a time that is still to come, or none that there is, without a backup and a folder too', async () => {
    for (const taken of ['2027-01-01', 'yesterday'])
      for (const file of ['file:///car/work.cfgdump', 'untitled:work']) {
        const { matches } = await verifyInFolder(
          {
            list: async () => ({ ...LIST, dumps: [] }),
            readDump: async () => done(other),
            readProfile: async () => done(SOUND_READING),
            unsealedAmong: async () => ({ dumps: [], unnamed: [], unread: [] }),
          },
          { dump: planned, file, backup: { kind: 'none' }, profileFile: PROFILE_FILE },
          { ...read, dump: of(`@taken ${taken}\n`) },
          '2026-03-03T00:00:00Z',
        );
        assert.equal(matches, false, `${taken} ${file}`);
      }
  });

  it('shows nothing where nobody can tell whether there is one', async () => {
    await showsNothing(verified(done(other), named, [phrase('car cannot be listed: denied')]), /^car cannot be listed/);
    const unread = [{ file: FILE, why: phrase('other.cfgdump cannot be read: denied') }];
    await showsNothing(verified(done(other), { ...named, unread }), /^other\.cfgdump cannot be read: denied$/);
  });
});
