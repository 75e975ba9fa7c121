import type { HeaderRow } from '../../../../shared-core/src/format/index.js';
import { headersOf } from '../../../../shared-core/src/model/index.js';
import { fileName } from '../../../../shared-core/src/workspace/index.js';
import type { Choice, CompletionPlace } from './place.js';

/** Headers that are the same in all modules of a vehicle, and those that are the same in all dumps of a module. */
const OF_VEHICLE = ['vehicle', 'vin'];
const OF_MODULE = ['part', 'software', 'module'];
const TAGS = ['fitted', 'absent'];

/** What the other dumps of the workspace say behind the same header: the same vehicle, the same module, the same equipment. */
export async function headerValueChoices({ session, explained, position, row }: CompletionPlace): Promise<Choice[]> {
  if (row.kind !== 'header' || position.character <= row.nameSpan.end) return [];
  const { name } = row;
  if (![...OF_VEHICLE, ...OF_MODULE, ...TAGS].includes(name)) return [];
  const names = TAGS.includes(name) ? TAGS : [name];
  const from = new Map<string, string>();
  for (const { file, profileFile, dump } of (await session.files.unsealed()).dumps) {
    if (file === explained.file || (OF_MODULE.includes(name) && profileFile !== explained.profileFile)) continue;
    for (const { header } of headersOf(dump)) {
      if (!names.includes(header.name)) continue;
      for (const value of TAGS.includes(name) ? header.value.split(/\s+/) : [header.value])
        if (value !== '' && !from.has(value)) from.set(value, fileName(file));
    }
  }
  const span = { row: position.line, ...replaced(row, position.character, TAGS.includes(name)) };
  return [...from].map(([value, file]) => ({ label: value, words: file, text: value, span, kind: 'value' }));
}

/** The whole value, or of several words the one at the cursor. */
function replaced({ text, valueSpan }: HeaderRow, column: number, isWord: boolean): { start: number; end: number } {
  if (column < valueSpan.start) return { start: column, end: column };
  if (!isWord) return { start: valueSpan.start, end: Math.max(valueSpan.end, column) };
  const start = Math.max(valueSpan.start, text.slice(0, column).search(/\S*$/));
  return { start, end: column + text.slice(column).search(/\s|$/) };
}
