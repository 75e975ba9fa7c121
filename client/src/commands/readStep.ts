import type { Command } from '../command.js';
import { tellAll } from '../ui.js';

/** Says in full what a step of the *Job* view says, which entries of a narrow side bar cut off. */
export const readStep: Command = {
  id: '_readStep',
  run: (_services, title: string, says: string) => tellAll(title, [says]),
};
