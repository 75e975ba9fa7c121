import * as vscode from 'vscode';
import type { OptionItem } from '../../../shared-core/src/protocol/options.js';

/** What an option is set to, first, as little of it may be in sight; then what the backup holds where that is something else. */
export function valueInWords({ now, before }: OptionItem): string {
  const value = now ?? vscode.l10n.t('cannot be read');
  return before === null ? value : vscode.l10n.t('{0} (backup: {1})', value, before);
}

/** What to be careful about, in a few words each. */
export function remarksOn({ caution, certainty }: OptionItem): readonly string[] {
  return [
    ...(caution === null ? [] : [caution.touches]),
    ...(certainty === null || certainty.confidence === 'confirmed' ? [] : [certainty.says]),
  ];
}

/** How sure the profile is of an option, and what speaks for it. */
export function certaintyInWords({ says, evidence }: NonNullable<OptionItem['certainty']>): string {
  return [vscode.l10n.t('How sure: {0}.', says), ...(evidence === null ? [] : [evidence])].join(' ');
}

/** What a screen reader says of an option. */
export function spoken(item: OptionItem): string {
  return [
    `${item.title}: ${item.now ?? vscode.l10n.t('cannot be read')}`,
    ...(item.before === null ? [] : [vscode.l10n.t('not as in the backup: {0}', item.before)]),
    ...(item.caution ? [vscode.l10n.t('affects {0}', item.caution.touches)] : []),
    ...(item.certainty ? [certaintyInWords(item.certainty)] : []),
    ...(item.refused === null ? [] : [item.refused]),
  ]
    .map((one, i, all) => (i === all.length - 1 || /[.!?]$/.test(one) ? one : `${one}.`))
    .join(' ');
}
