import { COMMANDS } from './commands.js';
import { runProgram } from './program.js';

void runProgram(COMMANDS);
