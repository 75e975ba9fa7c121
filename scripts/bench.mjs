// npm run bench: how fast, beside peers, in one run. Figures differ from machine to machine: look at the ratios.
import { installPackages, installPrograms, PROGRAMS, run } from './prepare.mjs';

installPackages();
installPrograms([PROGRAMS.browser, PROGRAMS.srecord, PROGRAMS.binutils]);
run(process.execPath, ['scripts/build.mjs']);
const { benchActivation } = await import('../test/bench/activation.mjs');
const { benchCompare, benchForms, benchImages, benchRecognition, IMAGE_GOALS } = await import(
  '../test/bench/images.mjs'
);
const { benchFleet } = await import('../test/bench/fleet.mjs');
const { benchFixes, benchWrongImage } = await import('../test/bench/fixes.mjs');
const { benchLibrary } = await import('../test/bench/library.mjs');
const { benchLearn, benchTypingWhileLearning } = await import('../test/bench/learn.mjs');
const { benchRawText } = await import('../test/bench/rawText.mjs');
const { benchSums } = await import('../test/bench/sums.mjs');
const { benchServer, SERVER_GOALS } = await import('../test/bench/server.mjs');
const { growthOf, pairRatiosOf, ratiosOf } = await import('../test/bench/tables.mjs');

const rows = [];
const starts = await benchServer(rows);
console.log('\nLanguage server over stdio (medians of five runs)');
console.table(rows.map(rounded));
console.log('The same divided by the figures of the JSON server');
console.table(pairRatiosOf(rows, 'lines', SERVER_GOALS).map(rounded));
console.log('By how much they grow with the lines');
console.table(
  growthOf(
    rows.filter(({ server }) => server === 'countersum'),
    'lines',
  ).map(rounded),
);
console.log('Start until initialized, ms (wanted: at most 1.3 times node -e 0)');
console.table(rounded(starts));

const rawTexts = [];
await benchRawText(rawTexts);
console.log(
  '\nA binary opened as text in the editor (medians of five runs; wanted: first marks within 500 ms, a key within 5 ms)',
);
console.table(rawTexts.map(rounded));

const images = [];
benchImages(images);
console.log('\nWhole files on the command line: Intel HEX, whole process (medians of five runs)');
console.table(images.map(rounded));
console.table(ratiosOf(images, 'payload MiB', IMAGE_GOALS).map(rounded));
console.log('By how much they grow with the payload');
console.table(growthOf(images, 'payload MiB').map(rounded));

const compared = [];
benchCompare(compared);
console.log('\nTwo images compared on the command line, whole process (medians of five runs)');
console.table(compared.map(rounded));

const forms = [];
benchForms(forms);
console.log('\nOther written forms on the command line, whole process (medians of five runs)');
console.table(forms.map(rounded));
const recognised = [];
await benchRecognition(recognised);
console.log('The form of a text by its first 64 KiB, ms');
console.table(recognised.map(rounded));

const learned = [];
benchLearn(learned);
await benchTypingWhileLearning(learned);
console.log('\nLearning on the command line, whole process (medians of three runs)');
console.table(learned.map(rounded));

console.log('\nA profile looked for in a library, on the processor (medians of nine runs)');
console.table((await benchLibrary()).map(rounded));

const fixes = [];
await benchFixes(fixes);
benchWrongImage(fixes);
console.log('\nMany wrong sums at once (medians of three runs; the image once, whole process)');
console.table(fixes.map(rounded));

const fleets = [];
benchFleet(fleets);
console.log('\nA retrofit planned in many cars of three modules each (once, whole process)');
console.table(fleets.map(rounded));

const { sums, solver, edits } = await benchSums();
console.log('\nSums over 16 MiB (medians of nine runs)');
console.table(sums);
console.log('Balancing, ms (medians of nine runs)');
console.table(solver.map(rounded));
console.log('Edits in a 1 MiB image under a CRC-32, to fresh problems, ms (medians of 27 runs, the slower of both)');
console.table(edits.map(rounded));

console.log('\nActivation in the extension host of the editor, ms (medians of five runs)');
console.table(rounded(await benchActivation()));

function rounded(row) {
  return Object.fromEntries(
    Object.entries(row).map(([key, value]) => [
      key,
      typeof value === 'number' && key !== 'lines' ? Math.round(value * 100) / 100 : value,
    ]),
  );
}
