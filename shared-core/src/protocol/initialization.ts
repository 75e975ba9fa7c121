/** What the client tells the server of itself when it starts it, beyond the standard capabilities. */
export interface InitializationOptions {
  /** The client answers `countersum/readFile`. */
  readonly reads?: boolean;
  /** The client answers `countersum/openFile` and what goes with it. */
  readonly pieces?: boolean;
  /** The client answers `countersum/listFolder`. */
  readonly lists?: boolean;
  /** The client carries out the commands that code actions name. */
  readonly commands?: boolean;
  /** The client shows jobs, and takes `countersum/jobsChanged`. */
  readonly jobs?: boolean;
  /** The client has colours for the names that this server gives to tokens (`dumpOption` …). */
  readonly tokens?: boolean;
  /** The address under which the client explains a kind of problem, but for its code, which is put behind it. */
  readonly problems?: string;
  /** The sentences in the language of the editor, where it is not English and the client has them. */
  readonly translation?: Readonly<Record<string, string>>;
}
