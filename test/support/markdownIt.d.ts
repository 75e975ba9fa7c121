declare module 'markdown-it' {
  /** As much of the renderer as the tests need. */
  export default class MarkdownIt {
    constructor(options: { html?: boolean; linkify?: boolean });
    readonly linkify: { set(options: { fuzzyLink?: boolean }): void };
    render(markdown: string): string;
  }
}
