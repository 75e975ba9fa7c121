import type { Option } from './profile.js';

/** Whether an option concerns keys, immobiliser or alarm: it is shown, and it or a byte that holds it goes only back to what the backup holds. */
export function isSecured({ hazards }: Option): boolean {
  return hazards.includes('security');
}
