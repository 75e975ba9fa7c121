/** So long other requests may have to wait, in milliseconds. */
const LONGEST = 10;

/** For work over many files: a function to be awaited between two of them, which now and then lets other work come first. */
export function pauses(): () => Promise<void> {
  let since = performance.now();
  return async () => {
    if (performance.now() - since < LONGEST) return;
    await new Promise((resolve) => setTimeout(resolve, 0));
    since = performance.now();
  };
}
