import { describe, expect, it } from 'vitest';
import { findingPlaces } from './finding_place';
import type { Surface } from './surface_blob';

// A flat core face of 10 x 10 cells of 1 mm, facing up, with finding 1 on the vertices of a 3 x 3 mm square in it.
function face(): Surface {
  const positions: number[] = [], triangles: number[] = [], finding: number[] = [];
  for (let y = 0; y <= 10; y++) for (let x = 0; x <= 10; x++) {
    positions.push(x, y, 0);
    finding.push(x >= 3 && x <= 6 && y >= 4 && y <= 7 ? 1 : 0);
  }
  for (let y = 0; y < 10; y++) for (let x = 0; x < 10; x++) {
    const v = 11 * y + x;
    triangles.push(v, v + 1, v + 12, v, v + 12, v + 11);
  }
  return {
    positions: new Float32Array(positions),
    triangles: new Uint32Array(triangles),
    finding: new Uint16Array(finding),
    deviation: new Float32Array(121),
    seen: new Uint8Array(121).fill(255),
  };
}

describe('the place of a finding', () => {
  const [first, second] = findingPlaces(face(), 2);
  const place = first!;
  it('has its middle, its reach and the way it faces', () => {
    expect(place.middle_mm).toEqual([4.5, 5.5, 0]);
    expect(place.reach_mm).toBeCloseTo(Math.hypot(1.5, 1.5));
    expect(place.facing).toEqual([0, 0, 1]);
  });
  it('is outlined by one closed line half a cell outside its vertices', () => {
    const ends = new Map<string, number>();
    for (let i = 0; i < place.outline_mm.length; i += 3) {
      const [x, y] = [place.outline_mm[i]!, place.outline_mm[i + 1]!];
      expect(x).toBeGreaterThanOrEqual(2.5);
      expect(x).toBeLessThanOrEqual(6.5);
      expect(y).toBeGreaterThanOrEqual(3.5);
      expect(y).toBeLessThanOrEqual(7.5);
      const key = `${x},${y}`;
      ends.set(key, (ends.get(key) ?? 0) + 1);
    }
    expect(ends.size).toBeGreaterThan(12);
    expect([...ends.values()].every((count) => count === 2)).toBe(true);
  });
  it('is nothing for a mismatch, which lies in the halves', () => {
    expect(second).toBeNull();
  });
  it('leaves aside a number that no finding has', () => {
    expect(findingPlaces(face(), 0)).toEqual([]);
  });
});
