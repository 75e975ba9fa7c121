import { check } from './check.js';
import { runProgram } from './program.js';

/** The command line as the extension has it: with all commands the package would be a tenth larger. */
void runProgram([check]);
