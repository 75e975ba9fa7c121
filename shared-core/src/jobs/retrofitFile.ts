import { type Phrase, phrase } from '../base/phrase.js';
import type { Result } from '../base/result.js';
import { readRetrofit } from './readRetrofit.js';
import type { Retrofit } from './retrofit.js';

/** What a file of a retrofit gives: nothing is done by one that has a problem, and `why` names the file. */
export type RetrofitFile =
  | { readonly kind: 'sound'; readonly retrofit: Retrofit }
  /** It cannot be opened, or its text is torn. */
  | { readonly kind: 'unreadable'; readonly why: Phrase }
  | { readonly kind: 'faulty'; readonly why: Phrase };

/** Reads the text of a retrofit file; `name` is what people call it, `unfit` what its profiles do not know of it. */
export function retrofitFile(name: string, text: Result<string>, unfit?: Phrase): RetrofitFile {
  if (!text.ok) return { kind: 'unreadable', why: phrase('{0} cannot be read: {1}', name, text.why) };
  const { retrofit, problems } = readRetrofit(text.value);
  const [first] = problems;
  if (retrofit === undefined)
    return { kind: 'unreadable', why: phrase('{0} cannot be read: {1}', name, first?.message ?? '') };
  const fault = first?.message ?? unfit;
  return fault === undefined
    ? { kind: 'sound', retrofit }
    : { kind: 'faulty', why: phrase('{0} has problems; correct them first. {1}', name, fault) };
}
