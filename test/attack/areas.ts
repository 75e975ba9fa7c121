import type { Area } from './area.js';
import { commands } from './areas/commands.js';
import { cuts } from './areas/cuts.js';
import { editor } from './areas/editor.js';
import { gate } from './areas/gate.js';
import { goodness } from './areas/goodness.js';
import { kills } from './areas/kills.js';
import { noise } from './areas/noise.js';
import { processes } from './areas/processes.js';
import { profiles } from './areas/profiles.js';
import { soak } from './areas/soak.js';
import { tools } from './areas/tools.js';

export const AREAS: readonly Area[] = [
  noise,
  gate,
  profiles,
  cuts,
  commands,
  goodness,
  editor,
  kills,
  processes,
  soak,
  tools,
];
