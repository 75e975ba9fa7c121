import type { Option } from './profile.js';

/** Whether an option concerns keys, immobiliser or alarm: it is shown, and no command changes it or a byte that holds it. */
export function isSecured({ hazards }: Option): boolean {
  return hazards.includes('security');
}
