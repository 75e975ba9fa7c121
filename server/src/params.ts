import { isBase64 } from '../../shared-core/src/base/index.js';
import { BACKUP, BACKUP_WRITTEN, RESTORABLE_LINES, RESTORE } from '../../shared-core/src/protocol/backup.js';
import { BALANCE_AT, BALANCE_CHOICES, CORRECT_CHECKSUMS } from '../../shared-core/src/protocol/balance.js';
import { BYTE_OVERVIEW, OVERVIEW_BYTE } from '../../shared-core/src/protocol/byteOverview.js';
import { CHANGES, COMPARE, COMPARE_MANY, TAKE_LINE, THREE_WAYS } from '../../shared-core/src/protocol/compare.js';
import { CONVERT, TEXT_TO_LOAD } from '../../shared-core/src/protocol/convert.js';
import { IMAGE_PAGE, OPEN_IMAGE } from '../../shared-core/src/protocol/imageView.js';
import { DESCRIBE, JOBS } from '../../shared-core/src/protocol/jobs.js';
import {
  ADD_OPTION,
  CHANGE_PROFILE,
  FIND_OPTION,
  LEARN,
  LEARN_FROM,
  NEW_OPTION,
  OPTION_GROUPS,
  PLAN_TRIALS,
  SIMILAR_DUMPS,
  UNCONFIRMED_SUMS,
} from '../../shared-core/src/protocol/learning.js';
import { OPTIONS, SET_OPTION, SHOW } from '../../shared-core/src/protocol/options.js';
import { LIST_PROFILES, TEST_SAMPLES } from '../../shared-core/src/protocol/profiles.js';
import { FORM_OF_FILE, RAW_BYTES, RAW_TEXT, READINGS } from '../../shared-core/src/protocol/raw.js';
import {
  JOB_CARD,
  PLAN_RETROFIT,
  RETROFIT_VEHICLES,
  VEHICLE_RECORD,
  VERIFY_READ_BACK,
} from '../../shared-core/src/protocol/retrofit.js';
import { SHARE } from '../../shared-core/src/protocol/share.js';
import { STATUS } from '../../shared-core/src/protocol/status.js';

/** Whether a value is of the kind that it should be. */
type Check = (given: unknown) => boolean;
type Checks = Readonly<Record<string, Check>>;

const text: Check = (given) => typeof given === 'string';
const flag: Check = (given) => typeof given === 'boolean';
const integer: Check = (given) => Number.isSafeInteger(given);
const count: Check = (given) => Number.isSafeInteger(given) && Number(given) >= 0;
const atLeastOne: Check = (given) => count(given) && given !== 0;
const texts: Check = (given) => Array.isArray(given) && given.every(text);
const base64: Check = (given) => typeof given === 'string' && isBase64(given);
const anything: Check = (given) => given !== undefined;
const orNull =
  (check: Check): Check =>
  (given) =>
    given === null || check(given);
const optional =
  (check: Check): Check =>
  (given) =>
    given === undefined || check(given);
const object =
  (parts: Checks): Check =>
  (given) =>
    wrongPart(parts, given) === undefined;
const either =
  (...checks: readonly Check[]): Check =>
  (given) =>
    checks.some((check) => check(given));

const place = object({ line: count, character: count });
const dump: Checks = { uri: text, unconfirmed: optional(flag), despite: optional(texts) };
const pair: Checks = { ...dump, other: optional(text) };
const groups: Checks = { ...dump, tag: text, with: texts, without: texts };

const listOf =
  (check: Check): Check =>
  (given) =>
    Array.isArray(given) && given.every(check);

const profileWish = either(
  object({ kind: (given) => given === 'headings', headings: listOf(text) }),
  object({ kind: (given) => given === 'remove', id: text }),
  object({ kind: (given) => given === 'widen', id: text, bits: text, values: anything }),
  object({
    kind: (given) => given === 'confirm',
    sums: listOf(object({ at: object({ start: count, end: count }), note: text })),
  }),
  object({
    kind: (given) => given === 'seen',
    seen: listOf(
      object({
        id: text,
        observation: object({
          ...{ part: optional(text), software: optional(text), date: optional(text), by: optional(text) },
          how: (given) => given === 'set-and-tried' || given === 'found-by-search' || given === 'told',
        }),
      }),
    ),
  }),
);

/** What the extension's own requests must hold. */
const REQUESTS: Readonly<Record<string, Checks>> = {
  [ADD_OPTION]: { profile: text, uri: optional(text), option: object({ id: text, title: text, values: anything }) },
  [UNCONFIRMED_SUMS]: { profile: text },
  [CHANGE_PROFILE]: { profile: text, uri: optional(text), wish: profileWish },
  [BACKUP]: { ...dump, isRaw: optional(flag) },
  [BACKUP_WRITTEN]: { ...dump, seal: text },
  [BALANCE_AT]: { ...dump, addresses: text },
  [BALANCE_CHOICES]: { ...dump, selection: optional(object({ start: place, end: place })) },
  [CHANGES]: pair,
  [COMPARE]: pair,
  [COMPARE_MANY]: { ...dump, others: texts },
  [CONVERT]: { ...dump, to: text },
  [TEXT_TO_LOAD]: dump,
  [DESCRIBE]: { ...dump, like: optional(text), vehicle: optional(text), taken: optional(text) },
  [FIND_OPTION]: groups,
  [FORM_OF_FILE]: { name: text, base64, headers: orNull(text) },
  [IMAGE_PAGE]: {
    view: integer,
    linesOnPage: atLeastOne,
    at: either(object({ page: integer }), object({ address: text })),
  },
  [JOB_CARD]: { ...dump, retrofit: optional(orNull(text)), unsaved: optional(texts) },
  [JOBS]: { unsaved: texts, around: orNull(text) },
  [LEARN]: { ...dump, others: texts },
  [LEARN_FROM]: dump,
  [BYTE_OVERVIEW]: { ...dump, from: count, count },
  [OVERVIEW_BYTE]: {
    ...dump,
    at: either(object({ line: count, byte: count }), object({ row: count, character: count })),
  },
  [OPEN_IMAGE]: { uri: text, view: integer, linesOnPage: atLeastOne },
  [LIST_PROFILES]: { around: orNull(text) },
  [NEW_OPTION]: { ...dump, selection: object({ start: place, end: place }) },
  [OPTION_GROUPS]: dump,
  [OPTIONS]: dump,
  [SHARE]: { ...dump, hide: optional(texts) },
  [SHOW]: dump,
  [PLAN_RETROFIT]: { ...dump, vehicle: text },
  [PLAN_TRIALS]: groups,
  [RAW_BYTES]: { text, size: orNull(count) },
  [RAW_TEXT]: { base64, headers: text },
  [READINGS]: { text },
  [RESTORABLE_LINES]: dump,
  [RESTORE]: { ...dump, labels: texts },
  [RETROFIT_VEHICLES]: dump,
  [CORRECT_CHECKSUMS]: dump,
  [SET_OPTION]: {
    ...dump,
    id: text,
    to: either(object({ value: text }), object({ flags: texts }), object({ written: text })),
  },
  [SIMILAR_DUMPS]: { ...dump, profile: text },
  [STATUS]: dump,
  [TAKE_LINE]: { ...pair, line: either(object({ row: count }), object({ label: text })) },
  [TEST_SAMPLES]: { uri: text },
  [THREE_WAYS]: { ...dump, found: optional(text), read: text },
  [VEHICLE_RECORD]: { folder: text },
  [VERIFY_READ_BACK]: { ...dump, read: text },
};

/** Why a request cannot be answered: a parameter is missing, or is not of its kind. */
export function wrongParams(method: string, params: unknown): string | undefined {
  const parts = Object.hasOwn(REQUESTS, method) ? REQUESTS[method] : undefined;
  // By position, they are the first one.
  const given: unknown = Array.isArray(params) ? params[0] : params;
  const wrong = parts === undefined ? undefined : wrongPart(parts, given);
  return wrong === undefined ? undefined : `"${wrong}" of ${method} is missing, or is not of the kind that it must be.`;
}

/** The first part of an object that is not as it should be. */
function wrongPart(parts: Checks, given: unknown): string | undefined {
  const values = new Map<string, unknown>(typeof given === 'object' && given !== null ? Object.entries(given) : []);
  return Object.entries(parts).find(([name, isRight]) => !isRight(values.get(name)))?.[0];
}
