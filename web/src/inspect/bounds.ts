// What a measured or counted value of a checkpoint may be on this box. The service refuses a pass beyond it; the page says
// so before it is sent.
import type { Checkpoint, Limits } from '../api/types';

export interface Bounds {
  lowest?: number;
  highest?: number;
}

export function boundsOf({ allowed }: Checkpoint, limits: Limits | undefined): Bounds {
  if (!allowed) return {};
  const of = { number: 1, surface: limits?.surface_mm, mismatch: limits?.mismatch_mm, gap: limits?.gap_mm }[allowed.at_most_of];
  const bounds: Bounds = {};
  if (allowed.at_least !== undefined) bounds.lowest = allowed.at_least;
  if (allowed.at_most !== undefined && of !== undefined) bounds.highest = allowed.at_most * of;
  return bounds;
}

export const within = ({ lowest, highest }: Bounds, value: number): boolean =>
  (lowest === undefined || value >= lowest) && (highest === undefined || value <= highest);
