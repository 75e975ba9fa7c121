// A profile looked for among 2,000, in the core: reading all of them once, and each search.
import { importCore } from './core.mjs';
import { median } from './lspClient.mjs';

const COUNT = 2000;

/** Milliseconds of work on the processor. */
export async function benchLibrary() {
  const core = await importCore();
  const texts = Array.from({ length: COUNT }, (_, i) =>
    JSON.stringify({
      format: 1,
      title: `Module ${i}`,
      lines: { from: 1, to: 32, data: 8, sum: 1 },
      lineSum: { method: 'add', over: ['label', 'data'] },
      appliesTo: { part: [`PART-${i}-*`], software: ['1.*', '2.*'] },
      options: Array.from({ length: 20 }, (_, n) => ({
        id: `o${n}`,
        line: n + 1,
        byte: 2,
        values: { 0: 'no', 1: 'yes' },
      })),
    }),
  );
  const dump = core.bindText('a.cfgdump', '@part PART-1999-A\n@software 2.4\n1: 01\n', core.EMPTY_PROFILE);
  let index = [];
  const read = await timed(() => {
    index = texts.map((text, i) => core.indexedProfile({ file: `file:///${i}`, name: `${i}` }, core.readProfile(text)));
  });
  const searches = [];
  for (let run = 0; run < 9; run++) searches.push(await timed(() => core.searchLibrary(index, dump, async () => true)));
  return [{ profiles: COUNT, 'read all, ms': read, 'search, ms': median(searches), 'wanted, ms': 200 }];
}

async function timed(work) {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}
