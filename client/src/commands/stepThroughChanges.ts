import * as vscode from 'vscode';
import type { Place, Stretch } from '../../../shared-core/src/protocol/common.js';
import type { ChangesResult } from '../../../shared-core/src/protocol/compare.js';
import type { Command } from '../command.js';
import { goTo, goToPlace } from '../places.js';
import type { Services } from '../services.js';
import { inform, tellPlace } from '../ui.js';
import { COMPARED, HAS_DUMP, IN_DUMP } from './conditions.js';

const IN_TEXT = `editorTextFocus && ${IN_DUMP}`;

export const previousChange: Command = {
  id: 'previousChange',
  title: 'Go to the Previous Changed Byte',
  does: 'the other way; <kbd>Ctrl</kbd>+<kbd>Shift</kbd>+<kbd>F7</kbd>',
  icon: 'arrow-up',
  when: HAS_DUMP,
  menus: [{ menu: 'view/title', group: 'navigation@2', when: COMPARED }],
  key: { key: 'ctrl+shift+f7', when: IN_TEXT },
  run: (services) => step(services, false),
};

export const nextChange: Command = {
  id: 'nextChange',
  title: 'Go to the Next Changed Byte',
  does: 'from the cursor on, and from the last to the first; <kbd>Ctrl</kbd>+<kbd>F7</kbd>',
  icon: 'arrow-down',
  when: HAS_DUMP,
  menus: [{ menu: 'view/title', group: 'navigation@3', when: COMPARED }],
  key: { key: 'ctrl+f7', when: IN_TEXT },
  run: (services) => step(services, true),
};

/** The entry of a change in the *Changes* view leads here. */
export const showChange: Command = {
  id: '_showChange',
  run: async (_, place: Place, of: vscode.Uri) => goToPlace(of, place),
};

/** The next changed byte behind the cursor, or the one before it; after the last comes the first. */
async function step({ current, changes }: Services, forward: boolean): Promise<void> {
  const document = current.document();
  if (!document) return tellNoDump();
  const result = await changes.of(document);
  if (result === undefined) return;
  const places = placesOf(result);
  const [first, last] = [places[0], places.at(-1)];
  if (first === undefined || last === undefined) {
    void inform(result.remarks.join(' '));
    return;
  }
  const editor = vscode.window.visibleTextEditors.find((shown) => shown.document === document);
  const here = editor?.selection.start ?? new vscode.Position(0, 0);
  const there = forward
    ? (places.find(({ range }) => isBehind(range.start, here)) ?? first)
    : (places.filter(({ range }) => isBehind(here, range.start)).at(-1) ?? last);
  await goTo(document.uri, there.range);
  tellPlace(there.says);
}

export function tellNoDump(): void {
  void inform(vscode.l10n.t('Open the dump whose changes are to be looked at first.'));
}

interface PlacedChange {
  readonly range: Stretch;
  readonly says: string;
}

/** All changed bytes with a place in the text, from the first to the last. */
function placesOf({ lines }: ChangesResult): readonly PlacedChange[] {
  const places = lines.flatMap(({ title, bytes }) =>
    bytes.flatMap((byte) =>
      byte.range ? [{ range: byte.range, says: `${title} · ${byte.title}: ${byte.says}` }] : [],
    ),
  );
  return places.sort((a, b) => (isBehind(a.range.start, b.range.start) ? 1 : -1));
}

function isBehind(place: Stretch['start'], other: Stretch['start']): boolean {
  return place.line > other.line || (place.line === other.line && place.character > other.character);
}
