// Everything that must be worked out before a core can be drawn. For a quarter of a million vertices that is more
// than a twentieth of a second, so it happens beside the page, which stays quick to touch meanwhile.
import { colourTable, scaleFor, type Scale } from './deviation_colours';
import { findingPlaces, type FindingPlace } from './finding_place';
import { openSurface, usualSize, type Surface } from './surface_blob';

export interface Order {
  bytes: ArrayBuffer;
  findings: number;
  deepest_mm: number; // of the findings
  limit_mm: number;
}

export interface Prepared {
  surface: Surface;
  places: (FindingPlace | null)[];
  scale: Scale;
  table: Uint8Array;
}

// Throws BadSurface.
export function prepare({ bytes, findings, deepest_mm, limit_mm }: Order): Prepared {
  const surface = openSurface(bytes);
  const scale = scaleFor(limit_mm, Math.max(deepest_mm, usualSize(surface)));
  return { surface, scale, places: findingPlaces(surface, findings), table: colourTable(scale) };
}
