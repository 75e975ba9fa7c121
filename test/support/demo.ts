import { readFileSync } from 'node:fs';
import { dumpText } from '../../shared-core/src/format/dumpText.js';
import { readRows } from '../../shared-core/src/format/index.js';
import { bind, type Dump } from '../../shared-core/src/model/index.js';
import { type Profile, readProfile } from '../../shared-core/src/profile/index.js';

/** Files of the demo, which the tests share with the people who try the tool. */
export function demoFile(name: string): string {
  return readFileSync(`examples/trailer-socket/${name}`, 'utf8');
}

export function demoProfile(module: 'rear-body' | 'cluster'): Profile {
  return readProfile(demoFile(`${module}.dump-profile.json`)).profile;
}

export function dumpOf(text: string, profile: Profile): Dump {
  return bind(readRows(text, dumpText), dumpText, profile);
}

export function demoDump(name: string): Dump {
  return dumpOf(demoFile(name), demoProfile(name.startsWith('cluster') ? 'cluster' : 'rear-body'));
}
