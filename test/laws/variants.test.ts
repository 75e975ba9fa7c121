// A profile in several files says the same as the one that a person would merge by hand.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { after, before, describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/index.js';
import { type Profile, readProfile } from '../../shared-core/src/profile/index.js';
import { basesOf } from '../support/chains.js';
import { seedOf } from '../support/dice.js';
import { type Folder, makeFolder } from '../support/folder.js';
import { runCommand } from '../support/inProcess.js';
import { IMAGE_PROFILE, LINES_PROFILE, SEVERAL_PROFILE } from '../support/richProfiles.js';
import { timesMore } from '../support/times.js';
import { type TrustCase, trustCase, wishFor } from '../support/trustCase.js';

type Json = object;

const CASES = 16 * timesMore();

/** What a profile says, without where it says it. */
function meaningOf(profile: Profile): string {
  return JSON.stringify(profile, (key, value: unknown) => {
    // In which files it is said: of one file they are others.
    if (key === 'source' || key === 'givenAt' || key === 'bases') return undefined;
    if (value instanceof Map) return [...value];
    return typeof value === 'bigint' ? String(value) : value;
  });
}

const LISTS = ['options', 'locked', 'volatile', 'balance', 'copies'];

/** A profile cut into parts: each key and each entry of a list goes to one of them, at random; entries keep their order. */
function cut(whole: Json, count: number, next: (most: number) => number): readonly Json[] {
  const parts: Record<string, unknown>[] = Array.from({ length: count }, () => ({ format: 1 }));
  for (const [key, value] of Object.entries(whole)) {
    if (key === 'format') continue;
    if (!LISTS.includes(key) || !Array.isArray(value)) {
      const at = next(count - 1);
      // What is under it is written over.
      for (let under = 0; under < at; under++) {
        const part = parts[under];
        if (part !== undefined && next(3) === 0) part[key] = typeof value === 'object' ? 'nothing' : value;
      }
      Object.assign(parts[at] ?? {}, { [key]: value });
      continue;
    }
    const ends = Array.from({ length: count - 1 }, () => next(value.length)).sort((a, b) => a - b);
    parts.forEach((part, i) => {
      const from = i === 0 ? 0 : (ends[i - 1] ?? 0);
      const entries: unknown[] = value.slice(from, ends[i] ?? value.length);
      if (entries.length > 0) part[key] = entries;
    });
  }
  return parts;
}

describe('profiles that extend others', () => {
  for (const [name, whole] of Object.entries({ LINES_PROFILE, IMAGE_PROFILE, SEVERAL_PROFILE }))
    it(`say the same as one file: ${name}`, () => {
      const alone = readProfile(JSON.stringify(whole));
      assert.deepEqual(
        alone.problems.map(({ message }) => say(message)),
        [],
      );
      fc.assert(
        fc.property(fc.integer({ min: 2, max: 4 }), fc.infiniteStream(fc.nat(1000)), (count, stream) => {
          const numbers = stream[Symbol.iterator]();
          const next = (most: number) => Number(numbers.next().value) % (most + 1);
          const parts = cut(whole, count, next);
          const names = parts.map((_, i) => `${i}.json`);
          const own = { ...parts.at(-1), extends: names.slice(0, -1) };
          const texts = Object.fromEntries(names.slice(0, -1).map((one, i) => [one, JSON.stringify(parts[i])]));
          const { profile, problems } = readProfile(JSON.stringify(own), basesOf(texts));
          assert.deepEqual(
            problems.map(({ message }) => say(message)),
            [],
          );
          assert.equal(meaningOf(profile), meaningOf(alone.profile));
        }),
      );
    });

  describe('in a vehicle folder', () => {
    let folder: Folder;
    before(() => {
      folder = makeFolder();
    });
    after(() => folder.remove());

    /** What a command answers, and all files of dumps after it. */
    const answer = async (files: ReadonlyMap<string, string>, args: readonly string[]) => {
      folder.clear();
      folder.write(files);
      const ran = await runCommand(args.map((arg) => (files.has(arg) ? folder.of(arg) : arg)));
      return { ...ran, files: [...folder.files()].filter(([name]) => !name.endsWith('.json')) };
    };
    const commandsFor = ({ dice, member, retrofitFile }: TrustCase) => {
      const option = dice.pick(member.profile.options ?? []);
      return [
        ['check', member.workFile, '--json'],
        ['show', member.workFile],
        ['set', member.workFile, `${option.id}=${wishFor(dice, option).written}`, '--write', '--unconfirmed'],
        ['fix', member.workFile, '--write'],
        ['restore', member.workFile, '--write'],
        ['plan', retrofitFile, member.workFile, '--write'],
      ];
    };

    it('every command answers the same, byte for byte', async () => {
      let written = 0;
      for (let index = 0; index < CASES; index++) {
        const given = trustCase(seedOf(31, index));
        const { dice, member, files, isFlawed } = given;
        if (isFlawed || (member.profile.options ?? []).length === 0) continue;
        const parts = cut(JSON.parse(files.get(member.profileFile) ?? '{}'), dice.int(2, 4), (most) =>
          dice.int(0, most),
        );
        const names = parts.map((_, i) => `base${i}.json`).slice(0, -1);
        const chain = new Map([
          ...files,
          ...names.map((name, i) => [name, JSON.stringify(parts[i])] as const),
          [member.profileFile, JSON.stringify({ ...parts.at(-1), extends: names })] as const,
        ]);
        for (const command of commandsFor(given)) {
          const alone = await answer(files, command);
          assert.deepEqual(await answer(chain, command), alone, `${given.says}: ${command.join(' ')}`);
          if (alone.files.some(([name, text]) => files.get(name) !== text)) written++;
        }
      }
      assert.ok(written > CASES / 4, `${written} were written`);
    }).timeout(60_000 * timesMore());

    it('nothing is written, and nothing is good, where the other has a problem or is not to be had', async () => {
      let refused = 0;
      for (let index = 0; index < 1.5 * CASES; index++) {
        const given = trustCase(seedOf(32, index));
        const { member, files, isFlawed } = given;
        const broken = index % 3 === 0;
        if ((!isFlawed && !broken) || (member.profile.options ?? []).length === 0) continue;
        const base = files.get(member.profileFile) ?? '';
        const chain = new Map([
          ...files,
          ...(broken ? [] : [['base.json', base] as const]),
          [member.profileFile, JSON.stringify({ format: 1, extends: 'base.json' })] as const,
        ]);
        const dumps = [...chain].filter(([name]) => !name.endsWith('.json')).sort(([a], [b]) => (a < b ? -1 : 1));
        for (const command of commandsFor(given)) {
          const { status, text, files: left } = await answer(chain, command);
          assert.deepEqual(new Map(left), new Map(dumps), `${given.says}: ${command.join(' ')}`);
          if (command[0] === 'show') continue;
          assert.notEqual(status, 0, `${given.says}: ${command.join(' ')}: ${text}`);
          refused++;
        }
      }
      assert.ok(refused > CASES / 2, `${refused} were refused`);
    }).timeout(60_000 * timesMore());
  });

  it('take anything made of the keys of a profile, and tell every problem in their own file', () => {
    const own = '{ "format": 1, "extends": "b.json", "options": [{ "id": "a", "entry": null }] }';
    fc.assert(
      fc.property(fc.json(), (base) => {
        const { problems } = readProfile(own, basesOf({ 'b.json': base }));
        for (const { span } of problems) {
          assert.equal(span.file, undefined);
          assert.ok(span.start < span.end && span.end <= own.length);
        }
        assert.ok(problems.length > 0);
      }),
    );
  });
});
