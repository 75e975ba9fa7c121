/** The version of the package, which the build puts in. */
declare const COUNTERSUM_VERSION: string;

export function version(): string {
  return COUNTERSUM_VERSION;
}
