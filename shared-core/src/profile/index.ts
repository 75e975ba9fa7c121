// What client, server and command line use of this room: what a module is like.
export { writtenRanges } from './dataRanges.js';
export { type JsonSpan, tooDeep } from './json.js';
export { mergeProfiles } from './mergeProfiles.js';
export { optionWidth } from './places.js';
export type { Confidence, Option, Profile } from './profile.js';
export { editedProfile } from './profileText.js';
export { isOptionId } from './readConditions.js';
export { HAZARDS } from './readOptions.js';
export { EMPTY_PROFILE, readProfile } from './readProfile.js';
export { evidenceInWords, fitsAll, sureInShort } from './searchEvidence.js';
export { isReadAs } from './slotPlaces.js';
export { sumName } from './sumName.js';
