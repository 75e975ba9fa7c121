import { type Phrase, phrase } from '../base/phrase.js';
import type { Option } from './profile.js';

/** Why an id is none of options that are there several times: it has no number behind it, or one off their end. */
export function whyNotOneOfSeveral(options: readonly Option[], id: string): Phrase | undefined {
  const [, base = id, number] = /^(.*)\.(\d+)$/.exec(id) ?? [];
  const of = (wanted: string) => options.find(({ several }) => several?.id === wanted)?.several;
  const whole = of(id);
  if (whole !== undefined)
    return phrase('"{0}" is there {1} times: name one of them, "{0}.1" to "{0}.{1}".', id, whole.count);
  const several = number === undefined ? undefined : of(base);
  return (
    several &&
    phrase('"{0}" is there {1} times, from "{0}.1" to "{0}.{1}": there is no "{2}".', base, several.count, id)
  );
}
