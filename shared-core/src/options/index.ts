// What client, server and command line use of this room: options in words.
export { cautionAhead } from './cautions.js';
export { choicesOf, namedValues, valuesOf } from './choices.js';
export { isFoundInBytes } from './foundInBytes.js';
export { caution, hazardInWords } from './hazard.js';
export { axisValue, certaintyOf, observationInWords, optionPlaceInWords, valuesInWords } from './inWords.js';
export { whyNotSettable } from './setOption.js';
