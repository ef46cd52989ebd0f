// Whether the core itself stands between a place on its wall and the eye: a walk through the cells of the cavity.
import type { Cavity } from './cavity_blob';

type Place = readonly number[];
const HALF_FULL = 128;

// `cutAway` says of a place whether what was there is taken away. The walk leaves the wall before it looks, and what it
// meets must be two cells thick: a wall seen at a flat angle does not hide its own marks.
export function isHidden(cavity: Cavity, at_mm: Place, eye_mm: Place, cutAway: (place: Place) => boolean): boolean {
  const way = [0, 1, 2].map((k) => eye_mm[k]! - at_mm[k]!);
  const far = Math.hypot(...way);
  const step = 0.5 * cavity.cell_mm;
  let met = 0;
  for (let walked = 1.5 * cavity.cell_mm; walked < far; walked += step) {
    const place = way.map((along, k) => at_mm[k]! + (along * walked) / far);
    const cell = place.map((along, k) => Math.floor((along - cavity.low_mm[k]!) / cavity.cell_mm));
    if (cell.some((one, k) => one < 0 || one >= cavity.cells[k]!)) return false;
    const index = (cell[2]! * cavity.cells[1] + cell[1]!) * cavity.cells[0] + cell[0]!;
    if (cavity.codes[4 * index + 1]! >= HALF_FULL && !cutAway(place)) met += 1;
    if (met >= 4) return true;
  }
  return false;
}
