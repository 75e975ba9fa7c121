import * as vscode from 'vscode';
import type { OptionItem, SetOptionParams } from '../../../shared-core/src/protocol/options.js';
import { askText, chooseMany, chooseOne, tellDone, type Verdict } from '../ui.js';

type Wish = SetOptionParams['to'];

/** Asks what an option is to be set to, in words; what is written is tried out while it is typed. */
export async function chooseValue(
  option: OptionItem,
  tryOut: (wish: Wish) => Promise<Verdict>,
): Promise<Wish | undefined> {
  if (option.form !== 'values' && option.form !== 'flags') return writeValue(option, tryOut);
  const title = vscode.l10n.t('{0} (now: {1})', option.title, option.now ?? '–');
  const placeHolder = option.caution
    ? vscode.l10n.t('Affects {0}: local rules and licensed practice decide', option.caution.touches)
    : vscode.l10n.t('Choose a value; all sums are kept right');
  const items = option.choices.map(({ value, digits, words, current, before }) => ({
    label: words,
    description: digits,
    value,
    detail: [
      ...(current && option.form === 'values' ? [vscode.l10n.t('now')] : []),
      ...(before && option.before !== null ? [vscode.l10n.t('in the backup')] : []),
    ].join(' · '),
    picked: current,
  }));
  if (option.form === 'flags') {
    const chosen = await chooseMany(items, { title, placeHolder });
    return chosen && { flags: chosen.map(({ value }) => value) };
  }
  const now = items.find(({ picked }) => picked);
  const chosen = await chooseOne(items, { title, placeHolder, active: now });
  if (chosen === undefined || chosen !== now) return chosen && { value: chosen.value };
  tellDone(vscode.l10n.t('{0} is set to {1} already.', option.title, now.label));
  return undefined;
}

async function writeValue(option: OptionItem, tryOut: (wish: Wish) => Promise<Verdict>): Promise<Wish | undefined> {
  const now = option.now?.replace(/^"(.*)"$/, '$1') ?? '';
  const value = option.form === 'number' ? (/^[-\d.e+]+/.exec(now)?.[0] ?? now) : now;
  const written = await askText({
    title: vscode.l10n.t('{0} (now: {1})', option.title, option.now ?? '–'),
    prompt: [option.limits, option.caution?.says].filter((part) => part).join('. '),
    value,
    check: async (text) => {
      if (text.trim() !== '') return tryOut({ written: text });
      return option.limits === null ? undefined : { says: option.limits, takes: false };
    },
  });
  return written === undefined || written === value ? undefined : { written };
}
