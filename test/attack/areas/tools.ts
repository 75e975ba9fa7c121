import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { convert } from '../../../shared-core/src/convert/index.js';
import { hexView } from '../../../shared-core/src/format/hexView.js';
import type { FormId } from '../../../shared-core/src/format/index.js';
import { inWords } from '../../../shared-core/src/format/inWords.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import type { Word } from '../../../shared-core/src/format/word.js';
import { bind, bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { type Dice, diceOf } from '../../support/dice.js';
import { type Folder, makeFolder } from '../../support/folder.js';
import { bytesAt } from '../../support/images.js';
import { whyNotStarted } from '../../support/programs.js';
import { type Area, failureOf } from '../area.js';

/** Sparse images, many in a case: one process of a tool reads or writes all of them. */
const IMAGES = 40;
/** Each image has a stretch of so many addresses, and a place of its own where all are put together. */
const WINDOW = 0x20000;

/** What is read and written is the same for srec_cat, objcopy, xxd and od, in 10,000 images of a full run. */
export const tools: Area = {
  name: 'tools',
  share: 25,
  open: () => {
    const folder = makeFolder();
    return {
      run: async (seed) => {
        folder.clear();
        const dice = diceOf(seed);
        const images = Array.from({ length: IMAGES }, () => imageOf(dice));
        return failureOf([
          ...FORMS.flatMap((form) => readByThem(form, images, folder)),
          ...FORMS.flatMap((form) => writtenByThem(form, images, folder)),
          ...readByObjcopy(images, folder),
          ...viewed(dice, folder),
        ]);
      },
      close: folder.remove,
    };
  },
};

interface Image {
  /** Where its stretch begins. */
  readonly base: number;
  readonly bytes: ReadonlyMap<number, number>;
}

interface ToolForm {
  readonly id: FormId;
  /** What srec_cat calls it. */
  readonly name: readonly string[];
  readonly top?: number;
}

const FORMS: readonly ToolForm[] = [
  { id: 'intel-hex', name: ['-intel'] },
  { id: 's-record', name: ['-motorola'] },
  { id: 'tektronix-extended', name: ['-tektronix_extended'] },
  { id: 'verilog', name: ['-vmem', '8'] },
  { id: 'ti-txt', name: ['-ti_txt'], top: 0x100000 },
  { id: 'mos-tech', name: ['-MOS_Technologies'], top: 0x10000 },
];

/** Runs of bytes with gaps between them, often over a multiple of 64 KiB, some next to each other, some of one byte. */
function imageOf(dice: Dice): Image {
  const base = dice.pick([0, 0, 0xf000, 0xf8000, 0xff0000, 0x12340000, 0x7fff0000, 0xfffe0000]);
  const bytes = new Map<number, number>();
  let at = base + dice.pick([0, 1, 0x30, dice.int(0, 0xff00)]);
  for (let run = dice.int(1, 5); run > 0; run--) {
    const count = dice.pick([1, 2, 15, 16, 17, dice.int(1, 70)]);
    for (let i = 0; i < count && at < base + WINDOW; i++) bytes.set(at++, dice.pick([0, 0xff, dice.int(0, 255)]));
    at += dice.pick([0, 1, 16, dice.int(1, 300), 0x10000 - (at % 0x10000), 0x10000 - (at % 0x10000) - 1]);
  }
  return { base, bytes };
}

/** An image as dump text, in lines of any length. */
function textOf(bytes: ReadonlyMap<number, number>): string {
  const lines: string[] = [];
  let next = -1;
  for (const [at, byte] of bytes) {
    const digits = byte.toString(16).padStart(2, '0');
    if (at !== next || (at * 7) % 29 === 0) lines.push(`0x${at.toString(16)}: ${digits}`);
    else lines[lines.length - 1] += ` ${digits}`;
    next = at + 1;
  }
  return `${lines.join('\n')}\n`;
}

function converted(bytes: ReadonlyMap<number, number>, id: FormId): string {
  const made = convert(bindText('a.cfgdump', textOf(bytes), EMPTY_PROFILE), id);
  if (!made.ok) throw new Error(`${id}: ${JSON.stringify(made.why)}`);
  return made.value.text;
}

function run(folder: Folder, command: string, args: readonly string[], input?: Uint8Array | string): Buffer {
  const { status, stdout, stderr, error } = spawnSync(command, args, { cwd: folder.path, input, maxBuffer: 1 << 26 });
  if (status !== 0) throw new Error(whyNotStarted(command, error) ?? `${command} ${args.join(' ')}: ${stderr}`);
  return stdout;
}

/** All images in one, each in the place of its number. */
function together(images: readonly Image[]): Map<number, number> {
  return new Map(
    images.flatMap(({ base, bytes }, i) => [...bytes].map(([at, byte]) => [at - base + i * WINDOW, byte] as const)),
  );
}

const fitting = ({ top = 0x100000000 }: ToolForm, images: readonly Image[]) =>
  images.filter(({ bytes }) => [...bytes.keys()].every((at) => at < top));

/** What is converted to a form, a file for each image, is what srec_cat reads in it. */
function readByThem(form: ToolForm, images: readonly Image[], folder: Folder): readonly string[] {
  const some = fitting(form, images);
  if (some.length === 0) return [];
  folder.write(new Map(some.map(({ bytes }, i) => [`${i}.txt`, converted(bytes, form.id)])));
  const inputs = some.flatMap(({ base }, i) => {
    const by = i * WINDOW - base;
    const offset = by === 0 ? [] : ['-offset', by < 0 ? `-0x${(-by).toString(16)}` : `0x${by.toString(16)}`];
    return [`${i}.txt`, ...form.name.slice(0, 1), ...offset];
  });
  run(folder, 'srec_cat', [...inputs, '-o', 'all.srec', '-motorola', '-address-length=4']);
  const found = recordsIn(readFileSync(folder.of('all.srec'), 'latin1'));
  return unlike(`${form.id} as srec_cat reads it`, found, together(some));
}

/** What srec_cat writes in a form, all images in one file, is read as the same bytes. */
function writtenByThem(form: ToolForm, images: readonly Image[], folder: Folder): readonly string[] {
  const all = new Map([...together(images)].filter(([at]) => at < (form.top ?? 0x100000000)));
  if (all.size === 0) return [];
  folder.write(new Map([['all.srec', srecordsOf(all)]]));
  run(folder, 'srec_cat', ['all.srec', '-motorola', '-o', 'back.txt', ...form.name]);
  const text = readFileSync(folder.of('back.txt'), 'latin1');
  return unlike(`${form.id} that srec_cat writes`, bytesAt(bindText('back.txt', text, EMPTY_PROFILE)), all);
}

function readByObjcopy(images: readonly Image[], folder: Folder): readonly string[] {
  const all = together(images);
  folder.write(new Map([['all.hex', converted(all, 'intel-hex')]]));
  run(folder, 'objcopy', ['-I', 'ihex', '-O', 'srec', '--srec-forceS3', 'all.hex', 'all.srec']);
  return unlike('intel-hex as objcopy reads it', recordsIn(readFileSync(folder.of('all.srec'), 'latin1')), all);
}

const VIEWS: readonly (readonly [Word | undefined, string, ...string[]])[] = [
  [undefined, 'xxd'],
  [undefined, 'od', '-A', 'x', '-t', 'x1z'],
  ['2le', 'od', '-A', 'x', '-t', 'x2'],
  ['2le', 'hexdump'],
  ['4le', 'xxd', '-e'],
  ['4be', 'od', '-A', 'x', '-t', 'x4z', '--endian=big'],
];

/** Bytes without gaps: what viewers print of them is read as them, and what is converted to a view is what xxd -r reads. */
function viewed(dice: Dice, folder: Folder): readonly string[] {
  const length = 8 * IMAGES * dice.int(2, 6) + dice.int(0, 15);
  const repeats = dice.int(1, 6);
  const bytes = Uint8Array.from({ length }, (_, i) => (i % 160 < 16 * repeats ? 0x31 : dice.int(0, 255)));
  const all = new Map(Array.from(bytes, (byte, at) => [at, byte]));
  const said = VIEWS.flatMap(([word, command, ...args]) => {
    const text = run(folder, command, args, bytes).toString('latin1');
    const form = inWords(hexView, word);
    return unlike([command, ...args].join(' '), bytesAt(bind(readRows(text, form), form, EMPTY_PROFILE)), all);
  });
  const back = run(folder, 'xxd', ['-r'], converted(all, 'hex-view'));
  return [...said, ...(back.equals(bytes) ? [] : ['hex-view is not what xxd -r reads'])];
}

/** The bytes of S3 records, read by themselves. */
function recordsIn(text: string): Map<number, number> {
  const bytes = new Map<number, number>();
  for (const [, address = '', data = ''] of text.matchAll(/^S3..(.{8})((?:..)*)..\s*$/gm))
    for (let i = 0; i < data.length; i += 2)
      bytes.set(Number.parseInt(address, 16) + i / 2, Number.parseInt(data.slice(i, i + 2), 16));
  return bytes;
}

/** Bytes as S3 records of one byte each, made by themselves. */
function srecordsOf(bytes: ReadonlyMap<number, number>): string {
  const lines = [...bytes].map(([at, byte]) => {
    const digits = `06${at.toString(16).padStart(8, '0')}${byte.toString(16).padStart(2, '0')}`;
    const sum = (digits.match(/../g) ?? []).reduce((all, pair) => all + Number.parseInt(pair, 16), 0);
    return `S3${digits}${(~sum & 0xff).toString(16).padStart(2, '0')}`.toUpperCase();
  });
  return `${lines.join('\n')}\n`;
}

function unlike(
  what: string,
  found: ReadonlyMap<number, number>,
  wanted: ReadonlyMap<number, number>,
): readonly string[] {
  for (const [at, byte] of wanted)
    if (found.get(at) !== byte) return [`${what}: at 0x${at.toString(16)} is ${found.get(at)} and not ${byte}`];
  return found.size === wanted.size ? [] : [`${what}: ${found.size} bytes and not ${wanted.size}`];
}
