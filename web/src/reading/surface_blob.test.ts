import { describe, expect, it } from 'vitest';
import { BadSurface, openSurface, usualSize } from './surface_blob';

// Two triangles over four vertices; the last vertex unseen.
function blob(change: (view: DataView) => void = () => {}, extra = 0): ArrayBuffer {
  const V = 4, T = 2;
  const bytes = new ArrayBuffer(12 + V * 18 + T * 12 + extra);
  const view = new DataView(bytes);
  'BFS1'.split('').forEach((letter, i) => view.setUint8(i, letter.charCodeAt(0)));
  view.setUint32(4, V, true);
  view.setUint32(8, T, true);
  const corners = [0, 0, 0, 10, 0, 0, 10, 10, 0, 0, 10, 5];
  corners.forEach((value, i) => view.setFloat32(12 + 4 * i, value, true));
  [0, 1, 2, 0, 2, 3].forEach((value, i) => view.setUint32(60 + 4 * i, value, true));
  [0.1, -0.2, 0.4, NaN].forEach((value, i) => view.setFloat32(84 + 4 * i, value, true));
  [0, 1, 1, 0].forEach((value, i) => view.setUint16(100 + 2 * i, value, true));
  change(view);
  return bytes;
}

describe('the surface of a reading', () => {
  it('is opened in place, and the unseen vertex is marked instead of carrying a NaN', () => {
    const bytes = blob();
    const surface = openSurface(bytes);
    expect(surface.positions.buffer).toBe(bytes);
    expect(Array.from(surface.positions.slice(9))).toEqual([0, 10, 5]);
    expect(Array.from(surface.triangles)).toEqual([0, 1, 2, 0, 2, 3]);
    expect(Array.from(surface.seen)).toEqual([255, 255, 255, 0]);
    expect(surface.deviation[3]).toBe(0);
    expect(surface.deviation[1]).toBeCloseTo(-0.2);
    expect(Array.from(surface.finding)).toEqual([0, 1, 1, 0]);
  });
  it('is refused when it is cut short, too long, of another kind, or asks for a vertex it lacks', () => {
    expect(() => openSurface(blob().slice(0, -2))).toThrow(BadSurface);
    expect(() => openSurface(blob(undefined, 4))).toThrow(BadSurface);
    expect(() => openSurface(new ArrayBuffer(3))).toThrow(BadSurface);
    expect(() => openSurface(blob((view) => view.setUint8(3, 50)))).toThrow('BFS1');
    expect(() => openSurface(blob((view) => view.setUint32(80, 4, true)))).toThrow('triangle 1');
    expect(() => openSurface(blob((view) => view.setUint32(4, 0xffffffff, true)))).toThrow(BadSurface);
  });
  it('tells the size its deviations usually stay under, whichever their sign', () => {
    const surface = openSurface(blob());
    expect(usualSize(surface, 1)).toBeCloseTo(0.4);
    expect(usualSize(surface, 0.5)).toBeLessThan(0.21);
  });
});
