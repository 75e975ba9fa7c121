import { card } from './card.js';
import { check } from './check.js';
import type { Command } from './command.js';
import { compare } from './compare.js';
import { convert } from './convert.js';
import { findOption } from './findOption.js';
import { learn } from './learn.js';
import { plan } from './plan.js';
import { profileList } from './profileList.js';
import { profileMerge } from './profileMerge.js';
import { profileExport, profileImport } from './profileSheet.js';
import { profileTest } from './profileTest.js';
import { record } from './record.js';
import { fix, set } from './repair.js';
import { restore } from './restore.js';
import { serve } from './serve.js';
import { share } from './share.js';
import { show } from './show.js';
import { useProfile } from './useProfile.js';
import { verify } from './verify.js';

/** Every command, in the order in which a person comes to need them. */
export const COMMANDS: readonly Command[] = [
  check,
  show,
  fix,
  set,
  compare,
  plan,
  card,
  verify,
  restore,
  record,
  convert,
  share,
  learn,
  useProfile,
  profileList,
  profileTest,
  profileExport,
  profileImport,
  profileMerge,
  findOption,
  serve,
];
