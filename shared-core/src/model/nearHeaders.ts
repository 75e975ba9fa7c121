import { nearestName } from '../base/nearestName.js';
import type { HeaderRow } from '../format/row.js';
import { HEADER_NAMES, type Headed, type HeaderName, headersOf, isSeal, type PlacedHeader } from './headers.js';
import { isNearlyUse } from './useHeader.js';

/** Headers by which a dump is protected or checked: one that is spelled otherwise does not do that. */
const PROTECTING: readonly HeaderName[] = [
  'profile',
  'backup',
  'seal',
  'part',
  'software',
  'vin',
  'vehicle',
  'taken',
  'use',
];

/** The header that one without a meaning is probably meant to be; undefined where it is near none. */
export function nearHeader(header: Pick<HeaderRow, 'name' | 'value'>): HeaderName | undefined {
  if (isNearlyUse(header)) return 'use';
  const { name, value } = header;
  const [first = ''] = (name === '' ? value : name).split(/[\s:=]/);
  const word = first.toLowerCase().replace(/[^\p{L}\d]+$/u, '');
  const whole = PROTECTING.find((known) => known === word);
  if (whole !== undefined || name === '') return whole;
  const near = nearestName(name, HEADER_NAMES);
  return HEADER_NAMES.find((known) => known === near);
}

/** Whether what is checked, or what may be done, would be another if a header were spelled so. */
export function isProtecting(name: HeaderName): boolean {
  return PROTECTING.includes(name);
}

/** A header that is probably meant as a seal, by its name or by what it holds, though it is spelled as none. */
export function nearSeal(dump: Headed): PlacedHeader | undefined {
  const isKnown = (name: string) => HEADER_NAMES.some((known) => known === name);
  return headersOf(dump).find(
    ({ header }) =>
      !isSeal(header) && !isKnown(header.name) && (nearHeader(header) === 'seal' || holdsDigest(header.value)),
  );
}

/** Whether a text holds what a seal holds. */
export function holdsDigest(text: string): boolean {
  return /sha-?256[:=\s]*[\da-f]{64}/i.test(text);
}
