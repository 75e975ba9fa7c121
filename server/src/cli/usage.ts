import { type Phrase, phrase } from '../../../shared-core/src/index.js';
import { say } from './say.js';

/** Each call, in the order in which a person comes to need them, and what it does. */
const CALLS: readonly (readonly [call: string, does: Phrase])[] = [
  ['check FILE…', phrase('all problems; folders are walked')],
  ['fix FILE', phrase('right line sums, then file sums as the profile says')],
  ['    --balance N', phrase('balance with line N, of an image with addresses such as 1F0..1FF')],
  ['    --retotal', phrase('rewrite the file sums')],
  ['    --lines', phrase('line sums only')],
  ['set FILE OPTION=VALUE…', phrase('set options (words or number), then repair as fix does')],
  ['compare BEFORE AFTER', phrase('what differs, each byte explained')],
  ['plan RETROFIT [FILE…]', phrase('what a retrofit changes in all modules of a vehicle; --write does it')],
  ['card BEFORE AFTER…', phrase('the job card as Markdown; a pair of dumps for each module')],
  ['    --retrofit FILE', phrase('with the checks and the work around it')],
  ['verify PLANNED READBACK', phrase('is what was read back what was planned; the likely cause of each difference')],
  ['restore FILE [LINE…]', phrase('lines as the backup holds them, proved byte for byte')],
  ['record FOLDER', phrase('the record of a vehicle: its dumps, what changed between them, what is open')],
  ['convert FILE --to dump-text|intel-hex|s-record', phrase('same bytes at the same addresses, another notation')],
  ['    --width N', phrase('data bytes in a line (16)')],
  ['learn FILE…', phrase('work out how undocumented dumps are written and summed: a draft profile')],
  [
    'find-option --with FILE… --without FILE…',
    phrase('which bits tell the two groups apart; a FILE before both is asked about'),
  ],
  ['serve --stdio', phrase('the language server')],
];

const SWITCHES: readonly (readonly [call: string, does: Phrase])[] = [
  ['--json', phrase('for scripts')],
  ['--write', phrase('write FILE itself')],
  ['--out FILE', phrase('write another file')],
  ['--profile FILE', phrase('use this profile')],
];

/** What `countersum --help` says. */
export function usage(): string {
  const head = phrase('configuration dumps of control modules: check them, change them, prove what changed');
  const calls = CALLS.map(([call, does]) => row(call.startsWith(' ') ? call : `countersum ${call}`, does));
  const switches = SWITCHES.map(([call, does]) => row(call, does));
  const rest = phrase(
    'FILE may be "-" for standard input. Status: 0 good, 1 problems or a difference, 2 it could not be done.',
  );
  return [`countersum – ${say(head)}`, '', ...calls, '', ...switches, say(rest), ''].join('\n');
}

const COLUMN = 40;

/** A call and what it does beside it, or below where the call is too long. */
function row(call: string, does: Phrase): string {
  const left = `  ${call}`;
  const beside = left.length < COLUMN - 1 ? left.padEnd(COLUMN) : `${left}\n${' '.repeat(COLUMN)}`;
  return beside + say(does);
}
