import { readFileSync } from 'node:fs';

interface Named {
  title?: string;
  name?: string;
  why?: string;
  group?: string;
  evidence?: string;
  values?: Record<string, string>;
  flags?: Record<string, string>;
}

/** The demo's profile with one text in every place that a stranger may fill in. */
export function hostileProfile(text: string): string {
  const profile = JSON.parse(readFileSync('examples/trailer-socket/rear-body.dump-profile.json', 'utf8'));
  const named: Named[] = [profile, ...profile.options, ...profile.totals, ...profile.locked, ...profile.volatile];
  for (const one of named) {
    if (one.title !== undefined) one.title = text;
    if (one.name !== undefined) one.name = text;
    if (one.why !== undefined) one.why = text;
    if (one.group !== undefined) one.group = text;
    if (one.evidence !== undefined) one.evidence = text;
    for (const words of [one.values, one.flags]) {
      if (words === undefined) continue;
      // Values of one option are told apart by their words.
      for (const key of Object.keys(words)) words[key] = key === '0' ? text : `${key} ${text}`;
    }
  }
  return JSON.stringify(profile);
}

/** A dump of the demo with the same text in the header that people write as they like. */
export function hostileDump(text: string, name = 'rear-body.cfgdump'): string {
  const line = text.replace(/[\n\r\u2028]+/g, ' ');
  return readFileSync(`examples/trailer-socket/${name}`, 'utf8').replace(/^@vehicle .*$/m, () => `@vehicle ${line}`);
}

/** The demo's retrofit with the same text wherever people write, its values as numbers. */
export function hostileRetrofit(text: string): string {
  const retrofit = JSON.parse(readFileSync('examples/trailer-socket/trailer-socket.retrofit.json', 'utf8'));
  for (const key of ['before', 'after', 'try'])
    retrofit[key] = retrofit[key].map((step: string | object) =>
      typeof step === 'string' ? text : { ...step, check: text, unit: text.slice(0, 20) },
    );
  retrofit.title = text;
  retrofit.cautions = [text];
  retrofit.changes = [
    { profile: 'rear-body.dump-profile.json', set: { 'rear-fog-cutout': '1', 'trailer-socket': '2' } },
  ];
  return JSON.stringify(retrofit);
}
