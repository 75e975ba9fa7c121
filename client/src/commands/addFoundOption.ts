import * as vscode from 'vscode';
import type { FindOptionResult, PlaceOfItsOwn } from '../../../shared-core/src/protocol/learning.js';
import { askOption, type ToName } from '../askOption.js';
import { withOption, writeOption } from '../optionInProfile.js';
import type { Services } from '../services.js';
import { confirm } from '../ui.js';
import { keepDraft } from './newProfile.js';
import { offerToLearn } from './offerToLearn.js';

/** What an option is called that was added, and in which profile it is. */
export interface Added {
  readonly title: string;
  readonly profile: vscode.Uri;
}

/**
 * Writes a found place into the profile as an option, by the name and the words that the person gives. Where the dumps
 * have no profile, a draft of one is made beside the dump with the option in it. Undefined where nothing was written.
 */
export async function addFoundOption(
  services: Services,
  dump: vscode.Uri,
  { name, profile, naming, hazards }: FindOptionResult,
  place: PlaceOfItsOwn,
): Promise<Added | undefined> {
  if (profile === null) {
    await offerToLearn(
      dump,
      vscode.l10n.t(
        'No profile explains these dumps, and none could be learned. Work out the checksum rule, or write one first.',
      ),
    );
    return undefined;
  }
  if (place.alone !== null && !(await mayAddAlone(place.place, place.alone))) return undefined;
  const option = await askOption(place.option, { title: name, values: valuesOf(place), hazards });
  if (option === undefined) return undefined;
  const title = option.title || option.id;
  if ('draft' in profile) {
    const added = await withOption(services.client, profile.draft, option);
    const kept = added && (await keepDraft(services, dump, { text: added.text, title: profile.title }, naming));
    return kept && { title, profile: kept };
  }
  const uri = vscode.Uri.parse(profile.uri);
  return (await writeOption(services.client, uri, option)) ? { title, profile: uri } : undefined;
}

function mayAddAlone(place: string, why: string): Promise<boolean> {
  return confirm(vscode.l10n.t('Add this place to the profile by itself: {0}?', place), 'addAlone', [why]);
}

/** The values that mark each group, with the words of the search. */
function valuesOf({ values, option }: PlaceOfItsOwn): readonly ToName[] {
  const prompts = [
    vscode.l10n.t('The dumps with it hold this value.'),
    vscode.l10n.t('The dumps without it hold this value.'),
  ];
  return values.map((group, i) => {
    const numbers = group.map((digits) => Number.parseInt(digits, 16));
    return { numbers, prompt: prompts[i] ?? '', words: option.values[String(numbers[0])] ?? '' };
  });
}
