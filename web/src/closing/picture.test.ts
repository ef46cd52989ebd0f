import { describe, expect, it } from 'vitest';
import { fittingFactor, gapColour, shifted, viewOf } from './picture';

describe('the picture of a parting face', () => {
  it('moves an outline by the shift alone when nothing turns', () => {
    expect(shifted([10, 20], { move_mm: [0.1, -0.2], angle_deg: 0 }, 100)).toEqual([20, 0]);
  });
  it('turns about the face’s own origin, so the origin itself only moves', () => {
    expect(shifted([0, 0], { move_mm: [0.1, 0], angle_deg: 5 }, 10)).toEqual([1, 0]);
    const [x, y] = shifted([100, 0], { move_mm: [0, 0], angle_deg: 0.1 }, 1);
    expect(Math.hypot(x, y)).toBeCloseTo(100, 9);
    expect(y).toBeCloseTo(100 * Math.sin((0.1 * Math.PI) / 180), 9);
  });
  it('draws a small mismatch large and a large one true', () => {
    expect(fittingFactor(0.05, 400)).toBe(500);
    expect(fittingFactor(0.5, 400)).toBe(50);
    expect(fittingFactor(100, 400)).toBe(1);
    expect(fittingFactor(0, 400)).toBe(1);
  });
  it('shades an opening within the limit in grey and beyond it in colour', () => {
    const [r, g, b] = gapColour(0.1, 0.2, 0.4).match(/\d+/g)!.map(Number);
    expect(r === g && g === b).toBe(true);
    const [red, , blue] = gapColour(0.35, 0.2, 0.4).match(/\d+/g)!.map(Number);
    expect(red!).toBeGreaterThan(blue! + 20);
  });
  it('holds everything that stands on the face', () => {
    const place = (x: number, y: number) => ({ id: 'X', at_mm: [x, y] });
    const view = viewOf({ outlines: [], readings: [], dowels: [place(-100, 0)], clamps: [place(120, 60)] } as never);
    expect(view.x).toBeLessThan(-100);
    expect(view.x + view.width).toBeGreaterThan(120);
    expect(view.y).toBeLessThan(-60);
  });
});
