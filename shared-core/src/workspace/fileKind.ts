import { DUMP_ENDINGS, isDumpName } from '../format/notationOf.js';
import { FILE_ENDINGS } from './fileEndings.js';

const { profiles: PROFILE, retrofits: RETROFIT, cards: CARD, printedCards: PRINTED_CARD } = FILE_ENDINGS;

/** Dumps, profiles, retrofits and job cards, as a pattern of file names that the editor understands. */
export const OUR_FILES = `**/*.{${[...DUMP_ENDINGS, PROFILE, RETROFIT, CARD, PRINTED_CARD].join(',')}}`;

/** What a file is by its name, or the address that ends in it; undefined where it is none of ours. */
export function kindOf(name: string): 'dumps' | 'profiles' | 'retrofits' | 'cards' | undefined {
  if (name.endsWith(`.${PROFILE}`)) return 'profiles';
  if (name.endsWith(`.${RETROFIT}`)) return 'retrofits';
  if (name.endsWith(`.${CARD}`) || name.endsWith(`.${PRINTED_CARD}`)) return 'cards';
  return isDumpName(name) ? 'dumps' : undefined;
}

/** Whether a folder holds what programs made, not what a person keeps. */
export function isPassedOver(folder: string): boolean {
  return folder.startsWith('.') || folder === 'node_modules';
}

/**
 * A name for the job card of a vehicle that is made at a time (ISO 8601, UTC), as `kindOf` knows it, with what tells it from others:
 * its module where that is one of several, that it leads back, and the time to the minute, as a card is made anew after a change.
 */
export function cardName(vehicle: string, time: string, ...about: readonly string[]): string {
  const stem = [nameFrom(vehicle) || 'vehicle', ...about.map(nameFrom)];
  return [...stem.filter((part) => part !== ''), madeAt(time), CARD].join('.');
}

function madeAt(time: string): string {
  const [, day, hour, minute] = /^(.{10})T(\d\d):(\d\d)/.exec(time) ?? [];
  return day === undefined ? time.slice(0, 10) : `${day}-${hour}-${minute}-UTC`;
}

function nameFrom(title: string): string {
  return title
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60);
}
