/** What a command is called with, after the command line has been taken apart. */
export interface Call {
  readonly files: readonly string[];
  readonly profile: string | undefined;
  readonly json: boolean;
  readonly write: boolean;
  readonly out: string | undefined;
  readonly balance: string | undefined;
  readonly retotal: boolean;
  readonly lines: boolean;
}

/** What a command says and how it ends: 0 good, 1 problems found or a difference. */
export interface Outcome {
  readonly status: 0 | 1;
  /** Text for a person; printed unless JSON is asked for. */
  readonly text: string;
  readonly json: unknown;
}
