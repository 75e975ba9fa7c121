import * as vscode from 'vscode';
import type { DraftOption } from '../../shared-core/src/learn/index.js';
import type { HazardChoice } from '../../shared-core/src/protocol/learning.js';
import { askText, chooseMany, type Verdict } from './ui.js';

/** Values of an option that mean one thing, for which words are asked. */
export interface ToName {
  /** As numbers; the first one is shown. */
  readonly numbers: readonly number[];
  readonly prompt: string;
  readonly words: string;
  /** The words may be left out. */
  readonly isOptional?: true;
}

/** What is asked of an option: a title to begin with, its values, and whether others may be named beside them. */
export interface Asked {
  readonly title: string;
  readonly values: readonly ToName[];
  /** How many bits it has, where more values are asked for. */
  readonly moreOf?: number;
  readonly hazards: readonly HazardChoice[];
}

/** Asks for title, words and caution of an option, and gives it with them; undefined where the person goes away. */
export async function askOption(option: DraftOption, asked: Asked): Promise<DraftOption | undefined> {
  const title = await askText({
    title: vscode.l10n.t('What is the option called?'),
    value: asked.title,
    check: async (text) => (text.trim() === '' ? NO_NAME() : undefined),
  });
  if (title === undefined) return undefined;
  const words = new Map<string, string>();
  for (const { numbers, prompt, words: value, isOptional } of asked.values) {
    const [first] = numbers;
    if (first === undefined) continue;
    const said = await askText({
      title: vscode.l10n.t('What does {0} mean?', digitsOf(first)),
      prompt,
      value,
      check: async (text) => {
        if (text.trim() === '') return isOptional === true ? undefined : NO_WORDS();
        return namesValues(text) ? ONE_VALUE(digitsOf(first)) : undefined;
      },
    });
    if (said === undefined) return undefined;
    const text = said.trim();
    // Several values that mean the same are counted, so that each can be told from the others.
    if (text === '') continue;
    for (const [i, number] of numbers.entries()) words.set(String(number), i === 0 ? text : `${text} (${i + 1})`);
  }
  const others = asked.moreOf === undefined ? [] : await askMore(asked.moreOf, words);
  if (others === undefined) return undefined;
  const hazards = await askHazards(asked.hazards);
  if (hazards === undefined) return undefined;
  const values = Object.fromEntries([...words, ...others].sort(([a], [b]) => Number(a) - Number(b)));
  const { hazard: _, ...rest } = option;
  const named = { ...rest, id: idOf(title), title: title.trim(), values };
  const [hazard, ...more] = hazards;
  if (hazard === undefined) return named;
  return { ...named, hazard: more.length === 0 ? hazard : hazards };
}

const NO_NAME = (): Verdict => ({ says: vscode.l10n.t('The option needs a name.'), takes: false });
const NO_WORDS = (): Verdict => ({ says: vscode.l10n.t('This value needs words.'), takes: false });

const ONE_VALUE = (digits: string): Verdict => ({
  says: vscode.l10n.t('Write only what {0} means, without "=". The other values are asked for next.', digits),
  takes: false,
});

/** Whether a text gives values with their words, such as "1=none, 2=fitted", where the words of one are asked for. */
function namesValues(text: string): boolean {
  return /(?:^|[,;])\s*(?:0x)?[\da-f]{1,8}\s*[=:]/i.test(text);
}

/** More values and their words, one after the other, until nothing is written. */
async function askMore(
  width: number,
  known: ReadonlyMap<string, string>,
): Promise<readonly (readonly [string, string])[] | undefined> {
  const more = new Map<string, string>();
  for (;;) {
    const named = [...known, ...more].map(([value, words]) => `${digitsOf(Number(value))} = ${words}`).join(', ');
    const written = await askText({
      title: vscode.l10n.t('Another value and its words?'),
      prompt:
        named === ''
          ? vscode.l10n.t('Such as "2 = 13-pin", the value in hex. Leave it empty to finish.')
          : vscode.l10n.t(
              'Taken: {0}. Another such as "2 = 13-pin", the value in hex; leave it empty to finish.',
              named,
            ),
      value: '',
      check: async (text) => {
        if (text.trim() === '') return undefined;
        const value = readValue(text, width);
        if (value === undefined)
          return { says: vscode.l10n.t('Write a value of {0} bits in hex, "=", and its words.', width), takes: false };
        return known.has(value[0]) || more.has(value[0])
          ? { says: vscode.l10n.t('This value has words already.'), takes: false }
          : undefined;
      },
    });
    if (written === undefined) return undefined;
    const value = readValue(written, width);
    if (value === undefined) return [...more];
    more.set(...value);
  }
}

function readValue(text: string, width: number): [string, string] | undefined {
  const [, digits = '', words = ''] = /^\s*(?:0x)?([\da-f]{1,8})\s*=\s*(\S.*?)\s*$/i.exec(text) ?? [];
  const number = digits === '' ? Number.NaN : Number.parseInt(digits, 16);
  return number < 2 ** width ? [String(number), words] : undefined;
}

/** What a wrong setting touches, ticked one by one; that it is nothing is said too, never taken from an Enter. */
async function askHazards(hazards: readonly HazardChoice[]): Promise<readonly HazardChoice['id'][] | undefined> {
  const none = { label: vscode.l10n.t('Nothing that can hurt people'), id: undefined };
  const items = [...hazards.map(({ id, words }) => ({ label: words, id })), none];
  const chosen = await chooseMany(items, {
    title: vscode.l10n.t('What does a wrong setting touch?'),
    placeHolder: vscode.l10n.t('Tick all of it: shown as a caution wherever the option is changed'),
    check: (ticked) => {
      if (ticked.length === 0) return vscode.l10n.t('Tick what it touches, or that it touches nothing.');
      return ticked.length > 1 && ticked.includes(none)
        ? vscode.l10n.t('Either nothing that can hurt people, or something: not both.')
        : undefined;
    },
  });
  return chosen?.flatMap(({ id }) => id ?? []);
}

/** As people read values in the dump. */
function digitsOf(number: number): string {
  return number.toString(16).toUpperCase();
}

/** Words in lower case with hyphens, as ids in profiles are. */
function idOf(title: string): string {
  const words = title.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
  return words.join('-') || 'option';
}
