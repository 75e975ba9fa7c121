import { bullets, code, plain, table } from '../../base/markdown.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import { textOfRows } from '../../format/rows.js';
import { type HeaderName, headerValue, isSealed } from '../../model/headers.js';
import { sha256OfText } from '../../model/seal.js';
import { moduleTitle } from '../moduleTitle.js';
import { digestOfBytes } from './digestOfBytes.js';
import type { CardInput, CardModule, NamedDump } from './input.js';

type Text = (said: Phrase) => string;

/** What people call the module, as Markdown. */
export function moduleName({ before, after }: CardModule): string {
  return plain(moduleTitle([after, before]));
}

/** Which car, when, and room for who did it. */
export function vehicleTable({ modules, time }: CardInput, text: Text): string {
  const value = (name: HeaderName) => plain(modules.flatMap((module) => headerOfModule(module, name) ?? [])[0] ?? '–');
  return table(
    [text(phrase('Vehicle')), text(phrase('VIN')), text(phrase('Card made')), text(phrase('Done by, date'))],
    [[value('vehicle'), value('vin'), plain(timeInWords(time)), '&nbsp;']],
  );
}

export function moduleTable(modules: readonly CardModule[], text: Text): string {
  const head = [phrase('Module'), phrase('Part'), phrase('Software'), phrase('Read'), phrase('Backup')];
  return table(
    head.map(text),
    modules.map((module) => [
      moduleName(module),
      plain(headerOfModule(module, 'part') ?? '–'),
      plain(headerOfModule(module, 'software') ?? '–'),
      plain(timeInWords(headerValue(module.before.dump, 'taken') ?? '–')),
      text(module.isWayBack ? phrase('the module is to hold it again') : sealInWords(module.before)),
    ]),
  );
}

/** What is above the digests, for those who check them. */
export const DIGESTS = phrase(
  'SHA-256 of the dumps of this card: it shows that the card and the files belong together. It is of the text in UTF-8; a file in another encoding, of raw bytes or with its headers beside it has another one.',
);

/** The same in cards of older versions. */
export const OLD_DIGESTS = phrase(
  'SHA-256 of each dump as text in UTF-8, as found and as planned, which is that of its file unless that is in another encoding, holds raw bytes or has its headers beside it:',
);

/** SHA-256 of each dump, by which the card and the files can be proved to belong together. */
export function fingerprints(modules: readonly CardModule[], text: Text): readonly string[] {
  const line = ({ name, dump }: NamedDump) => {
    const bytes = digestOfBytes(dump);
    const ofBytes =
      bytes === undefined ? '' : `; ${text(phrase('its bytes alone, as a file of raw bytes:'))} ${code(bytes)}`;
    return `<small>${code(sha256OfText(textOfRows(dump.rows)))}</small> ${plain(name)}${ofBytes}`;
  };
  const dumps = modules.flatMap(({ before, after }) => [before, after]);
  return [`**${text(phrase('To check the files'))}**`, text(DIGESTS), bullets(dumps.map(line))];
}

function headerOfModule({ before, after }: CardModule, name: HeaderName): string | undefined {
  return headerValue(after.dump, name) ?? headerValue(before.dump, name);
}

function sealInWords({ dump }: NamedDump): Phrase {
  if (!isSealed(dump)) return phrase('not sealed');
  return dump.sealHolds ? phrase('sealed, seal holds') : phrase('SEAL BROKEN');
}

/** A time of ISO 8601 as people read it, to the minute; any other text as it is. */
export function timeInWords(time: string): string {
  return time.replace(/^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::\d\d(?:\.\d+)?)?(?:Z|\+00:?00)$/, '$1 $2 UTC');
}
