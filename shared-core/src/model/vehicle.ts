import type { Dump } from './dump.js';
import { headerValue, headerValues, spelledAlike } from './headers.js';

type Headed = Pick<Dump, 'rows' | 'headers'>;

/** Whether a dump says of which vehicle it is. */
export function namesVehicle(dump: Headed): boolean {
  return headerValue(dump, 'vin') !== undefined || headerValue(dump, 'vehicle') !== undefined;
}

/** Whether two dumps are of one vehicle: by their VINs where both have one, else by what people call it. */
export function sameVehicle(one: Headed, other: Headed): boolean {
  return toldApart(one, other) === false;
}

/** Whether two dumps say that they are of different vehicles. */
export function otherVehicle(one: Headed, other: Headed): boolean {
  return toldApart(one, other) === true;
}

/** Undefined where they have no header in common that says it, or one says two things. */
function toldApart(one: Headed, other: Headed): boolean | undefined {
  for (const name of ['vin', 'vehicle'] as const) {
    const [here, there] = [one, other].map((dump) =>
      headerValues(dump, name).map((value) => spelledAlike(name, value)),
    );
    if (here === undefined || there === undefined || here.length === 0 || there.length === 0) continue;
    const values = new Set([...here, ...there]);
    return values.size === 1 ? false : here.some((value) => there.includes(value)) ? undefined : true;
  }
  return undefined;
}
