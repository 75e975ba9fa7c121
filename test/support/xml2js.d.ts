declare module 'xml2js' {
  /** An element: its attributes and its text; the elements in it stand beside them by their names. */
  export interface Element {
    readonly $?: {
      readonly name?: string;
      readonly type?: string;
      readonly message?: string;
      readonly time?: string;
    };
    readonly _?: string;
  }
  /** Reads a text as XML; a text that is none is refused. */
  export function parseStringPromise(xml: string, options: { strict: true; explicitCharkey: true }): Promise<object>;
}
