import type { Ran } from './inProcess.js';
import { rawOf } from './oracle/build.js';
import { bytesByKey, sumsOf } from './oracle/contents.js';
import { harmIn } from './oracle/harm.js';
import { labelsOf } from './oracle/profileJson.js';
import { type FormId, formOf, type OracleDump, readText } from './oracle/texts.js';
import { type TrustCase, type Wish, wishFor } from './trustCase.js';

/** A command as it is given, with file names in place of paths, and what it may write. */
export interface Command {
  readonly name: string;
  readonly args: readonly string[];
  /** The dump that it starts from. */
  readonly source: string;
  /** The files that it may write; all others stay as they are. */
  readonly mayWrite: readonly string[];
  readonly wishes: readonly Wish[];
}

/** A command that a person may give in this folder. */
export function randomCommand({ dice, member, files, retrofitFile }: TrustCase): Command {
  const { workFile, backupFile, profileFile, profile } = member;
  const source = dice.once(8) ? backupFile : workFile;
  const [newFile, others] = [`out.${source.split('.').at(-1)}`, [...files.keys()]];
  const out = dice.once(4) ? dice.pick(others) : newFile;
  // A dump may be written over itself by name as well.
  const outMayBe = (file: string) => (out === newFile || out === file ? [out] : []);
  const writing = (name: string, rest: readonly string[], wishes: readonly Wish[] = []): Command =>
    dice.once(3)
      ? { name, args: [source, ...rest, '--out', out], source, mayWrite: outMayBe(source), wishes }
      : { name, args: [source, ...rest, '--write'], source, mayWrite: [source], wishes };
  switch (dice.int(0, 11)) {
    case 0:
    case 1:
    case 2:
      return writing('fix', fixOptions());
    case 3:
    case 4:
    case 5:
    case 6: {
      const wishes = dice.some(profile.options ?? [], dice.int(1, 2)).map((option) => wishFor(dice, option));
      const settings = wishes.map(({ option, written }) => `${option.id}=${written}`);
      return writing('set', [...settings, ...(dice.once(4) ? fixOptions() : [])], wishes);
    }
    case 7:
    case 8:
      return writing('restore', dice.once(2) ? [] : [String(dice.pick([...labelsOf(profile), 'total', 0]))]);
    case 9:
      return {
        name: 'plan',
        args: [retrofitFile, '--write'],
        source,
        mayWrite: [...files.keys()].filter((file) => !/as-found|json$/.test(file)),
        wishes: [],
      };
    case 10: {
      const to = dice.pick(['dump-text', 'intel-hex', 's-record']);
      return {
        name: 'convert',
        args: [source, '--to', to, '--out', out],
        source,
        mayWrite: out === newFile ? [out] : [],
        wishes: [],
      };
    }
    default:
      return dice.once(9)
        ? {
            name: 'learn',
            args: [workFile, backupFile, '--out', out],
            source,
            mayWrite: out === newFile ? [out] : [],
            wishes: [],
          }
        : findOption();
  }

  function fixOptions(): readonly string[] {
    const addresses = profile.addresses;
    const place =
      addresses === undefined
        ? String(dice.pick(labelsOf(profile)))
        : dice.int(Number(addresses.from), Number(addresses.to)).toString(16);
    return dice.pick<readonly string[]>([[], [], ['--retotal'], ['--lines'], ['--balance', place]]);
  }

  function findOption(): Command {
    const id = dice.pick([...(profile.options ?? []).map((option) => option.id), 'found', 'found']);
    const args = ['--with', workFile, '--without', backupFile, '--add', id, '--write'];
    return { name: 'find-option', args, source, mayWrite: [profileFile], wishes: [] };
  }
}

/** What a command did that it must not; each thing a line. */
export function violationsOf(
  { member, isFlawed }: TrustCase,
  { name, source, mayWrite, wishes, args }: Command,
  before: ReadonlyMap<string, string>,
  after: ReadonlyMap<string, string>,
  ran: Ran,
): readonly string[] {
  const changed = [...new Set([...before.keys(), ...after.keys()])].filter(
    (file) => before.get(file) !== after.get(file),
  );
  const said: string[] = [];
  if (ran.status === 2 && changed.length > 0) said.push(`refused, and changed ${changed.join()}`);
  const beyond = changed.filter((file) => !mayWrite.includes(file));
  if (beyond.length > 0) said.push(`wrote ${beyond.join()}`);
  const byProfile = ['fix', 'set', 'restore', 'plan', 'find-option'].includes(name);
  const dumps = changed.filter((file) => mayWrite.includes(file) && file !== member.profileFile);
  // A plan may be about other modules, whose profiles are right.
  const isOfMember = (file: string) => name !== 'plan' || file === member.workFile;
  if (isFlawed && byProfile && dumps.some(isOfMember)) said.push('wrote by a profile that has a problem');
  if (name === 'find-option' && changed.length > 0) said.push(...lostOfProfile(before, after, member.profileFile));
  if (name === 'convert') for (const file of dumps) said.push(...convertedHarm(file));
  for (const file of byProfile ? dumps : []) if (!isFlawed || !isOfMember(file)) said.push(...dumpHarm(file));
  return said;

  function dumpHarm(file: string): readonly string[] {
    const isElsewhere = name !== 'plan' && file !== source;
    const [was, now] = [before.get(isElsewhere ? source : file) ?? '', after.get(file) ?? ''];
    const profile = name === 'plan' ? profileNamed(was, before) : member.profile;
    const headers = readText(was, member.form).headers;
    const backup = before.get(headers.get('backup') ?? '');
    const sealed = headers.has('seal');
    const harm = harmIn({
      profile,
      before: isElsewhere ? was.replace(/^.*@seal [^\n]*\n/m, '') : was,
      after: now,
      backup,
    });
    const kept =
      sealed && isElsewhere && readText(now, member.form).headers.has('seal') ? ['the result carries a seal'] : [];
    const done = name === 'set' && ran.status !== 2 ? unmet(now) : [];
    const wrong = name !== 'restore' && ran.status === 0 ? wrongSums(now, profile) : [];
    return [...harm, ...kept, ...done, ...wrong];
  }

  /** Of a memory image every byte is in the result at the same address. */
  function convertedHarm(file: string): readonly string[] {
    if (member.form !== 'intel-hex' && member.form !== 's-record') return [];
    const to = args[args.indexOf('--to') + 1] as FormId;
    const [was, now] = [
      bytesAtAddresses(readText(before.get(source) ?? '', member.form)),
      bytesAtAddresses(readText(after.get(file) ?? '', to)),
    ];
    const lost = [...was].filter(([address, byte]) => now.get(address) !== byte);
    return [
      ...(lost.length > 0 ? [`${lost.length} bytes are not as they were after the conversion`] : []),
      ...(now.size > was.size ? ['the conversion made up bytes'] : []),
    ];
  }

  function unmet(text: string): readonly string[] {
    const bytes = new Map(
      [...bytesByKey(readText(text, member.form), member.profile)].map(([key, [byte = 0]]) => [key, byte]),
    );
    return wishes.flatMap(({ option, raw }) =>
      raw === undefined || rawOf(bytes, member.profile, option) === raw
        ? []
        : [`reported ${option.id} as set, and it is not`],
    );
  }
}

function profileNamed(text: string, files: ReadonlyMap<string, string>) {
  const name = /@profile (\S+)/.exec(text)?.[1] ?? '';
  return JSON.parse(files.get(name) ?? '{}');
}

/** The bytes of an image, or of a dump whose labels are addresses. */
function bytesAtAddresses({ records }: OracleDump): ReadonlyMap<number, number> {
  return new Map(
    records.flatMap(({ type, label, address, bytes = [] }) => {
      const first = type === undefined ? Number(label) : address;
      if (first === undefined) return [];
      return (type === undefined ? bytes : bytes.slice(0, -1)).map((byte, i) => [first + i, byte] as const);
    }),
  );
}

/** Sums that are wrong in what a command reported as done. */
function wrongSums(text: string, profile: TrustCase['member']['profile']): readonly string[] {
  return sumsOf(readText(text, formOf(profile)), profile)
    .filter(({ state }) => state === 'wrong')
    .map(({ name }) => `reported as done, and ${name} is wrong`);
}

/** What a profile lost by getting one option more. */
function lostOfProfile(
  before: ReadonlyMap<string, string>,
  after: ReadonlyMap<string, string>,
  file: string,
): readonly string[] {
  const [was, now] = [before, after].map((files) => JSON.parse(files.get(file) ?? '{}'));
  const rest = (profile: { options?: unknown }) => JSON.stringify({ ...profile, options: [] });
  const options = (profile: { options?: readonly object[] }) =>
    (profile.options ?? []).map((one) => JSON.stringify(one));
  const lost = options(was).filter((one) => !options(now).includes(one));
  return [
    ...(rest(was) === rest(now) ? [] : ['the profile changed beside its options']),
    ...(lost.length > 1 || lost.some((one) => /"security"|"confirmed"|"likely"/.test(one))
      ? [`the profile lost ${lost.join()}`]
      : []),
  ];
}
