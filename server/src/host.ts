/** Where the server runs: its only way to files. */
export interface Host {
  /** The text of a file, or undefined where it does not exist or cannot be read. */
  readonly readText: (uri: string) => Promise<string | undefined>;
}
