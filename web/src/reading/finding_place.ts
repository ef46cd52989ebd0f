// Where a finding lies on the surface: its middle, its reach, which way it faces, and the line around it.
import type { Surface } from './surface_blob';

export interface FindingPlace {
  middle_mm: [number, number, number];
  reach_mm: number; // from the middle to its farthest vertex
  facing: [number, number, number] | null; // unit; null when it faces every way at once
  outline_mm: Float32Array; // pairs of points, one pair a segment
}

// Null when no vertex carries the finding's number: a mismatch or a gap lies in the halves, not in a place.
export function findingPlace(surface: Surface, number: number): FindingPlace | null {
  const { positions: p, triangles, finding } = surface;
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let v = 0; v < finding.length; v++) {
    if (finding[v] !== number) continue;
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, p[3 * v + k]!);
      high[k] = Math.max(high[k]!, p[3 * v + k]!);
    }
  }
  if (low[0] === Infinity) return null;

  const area: [number, number, number] = [0, 0, 0];
  let whole = 0;
  const outline: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!] as const;
    const inside = corners.map((v) => finding[v] === number);
    const count = inside.filter(Boolean).length;
    if (count === 0) continue;
    if (count === 3) whole += addArea(p, corners, area);
    else addSegment(p, corners, inside, outline);
  }
  const length = Math.hypot(...area);
  return {
    middle_mm: [0, 1, 2].map((k) => (low[k]! + high[k]!) / 2) as [number, number, number],
    reach_mm: Math.hypot(...[0, 1, 2].map((k) => (high[k]! - low[k]!) / 2)),
    facing: length > 0.05 * whole ? (area.map((one) => one / length) as [number, number, number]) : null,
    outline_mm: new Float32Array(outline),
  };
}

type Corners = readonly [number, number, number];

// Adds the triangle's doubled area vector and returns its size.
function addArea(p: Float32Array, [i, j, k]: Corners, sum: [number, number, number]): number {
  const ux = p[3 * j]! - p[3 * i]!, uy = p[3 * j + 1]! - p[3 * i + 1]!, uz = p[3 * j + 2]! - p[3 * i + 2]!;
  const vx = p[3 * k]! - p[3 * i]!, vy = p[3 * k + 1]! - p[3 * i + 1]!, vz = p[3 * k + 2]! - p[3 * i + 2]!;
  const x = uy * vz - uz * vy, y = uz * vx - ux * vz, z = ux * vy - uy * vx;
  sum[0] += x;
  sum[1] += y;
  sum[2] += z;
  return Math.hypot(x, y, z);
}

// The border crosses the two edges that leave the odd corner; at their middles it is as near as the vertices tell.
function addSegment(p: Float32Array, corners: Corners, inside: boolean[], outline: number[]): void {
  const odd = inside[0] === inside[1] ? 2 : inside[0] === inside[2] ? 1 : 0;
  for (const other of [(odd + 1) % 3, (odd + 2) % 3]) {
    for (let k = 0; k < 3; k++) outline.push((p[3 * corners[odd]! + k]! + p[3 * corners[other]! + k]!) / 2);
  }
}
