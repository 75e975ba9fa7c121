/** How many of the cases are looked at: all, or as many as this time allows, of the processor, not of the clock on the wall. */
export interface Sampling {
  readonly seconds: number | undefined;
}

const TELL_EVERY = 5000;

/**
 * The cases in their order until the time of the processor is used up, at least one; how far it is goes to the standard
 * error, and how many cases there were at the end.
 */
export function* sample<T>(title: string, cases: readonly T[], { seconds }: Sampling): Generator<T> {
  const start = process.cpuUsage();
  const used = () => process.cpuUsage(start).user / 1e6;
  let [done, told] = [0, Date.now()];
  for (const one of cases) {
    if (done > 0 && seconds !== undefined && used() >= seconds) break;
    yield one;
    done++;
    if (Date.now() - told < TELL_EVERY) continue;
    told = Date.now();
    console.error(`${title}: ${done} of ${cases.length}, ${used().toFixed(0)} s`);
  }
  console.log(`${title}: ${done} of ${cases.length} cases, ${used().toFixed(0)} s of the processor`);
}
