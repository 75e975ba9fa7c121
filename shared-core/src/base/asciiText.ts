/** As many codes as a call takes as arguments. */
const ARGUMENTS = 1 << 12;

/** Codes of ASCII as a text. A call with the codes spread into it would take ten times as long. */
export function asciiText(codes: Uint8Array): string {
  const parts: string[] = [];
  for (let at = 0; at < codes.length; at += ARGUMENTS)
    parts.push(Reflect.apply(String.fromCharCode, undefined, codes.subarray(at, at + ARGUMENTS)));
  return parts.join('');
}
