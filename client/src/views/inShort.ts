/** Characters that leave room for the steps where the window is small: with the module, three lines. */
const MOST = 100;

/** The first sentence of what a step says, cut where it is long; an entry below the step leads to all of it. */
export function inShort(says: string): string {
  const [, sentence = says] = /^(.+?[.!?])(?:\s|$)/s.exec(says) ?? [];
  const short = sentence.length <= MOST ? sentence : sentence.slice(0, MOST).replace(/\s+\S*$/, ' …');
  return short.length < says.length && !short.endsWith('…') ? `${short} …` : short;
}
