import { describe, expect, it } from 'vitest';
import { colourOf, colourTable, okLabOf, scaleFor, TABLE_SIZE, toLinear, type Rgb } from './deviation_colours';

const scale = { limit_mm: 0.3, range_mm: 1.2 };
const step = (a: Rgb, b: Rgb): number => {
  const p = okLabOf(a), q = okLabOf(b);
  return Math.hypot(p.L - q.L, p.a - q.a, p.b - q.b);
};
const side = (sign: 1 | -1): Rgb[] => Array.from({ length: 31 }, (_, i) => colourOf(sign * (0.3001 + 0.8999 * (i / 30)), scale));

// Machado, Oliveira and Fernandes 2009, severity 1; the matrices (on linear RGB) are written from memory.
const protanope = [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]];
const deuteranope = [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]];
const seenBy = (eye: number[][], rgb: Rgb): Rgb => {
  const linear = rgb.map(toLinear);
  const clamp = (u: number): number => Math.min(1, Math.max(0, u));
  const gamma = (u: number): number => (u <= 0.0031308 ? 12.92 * u : 1.055 * u ** (1 / 2.4) - 0.055);
  return eye.map((row) => gamma(clamp(row.reduce((sum, w, i) => sum + w * linear[i]!, 0)))) as Rgb;
};

describe('the colours of deviation', () => {
  it('are one neutral grey through the whole tolerance band', () => {
    for (const deviation of [-0.3, -0.1, 0, 0.2, 0.3]) {
      const [r, g, b] = colourOf(deviation, scale);
      // OKLab's published matrices carry ten digits; grey comes back to about 1e-7.
      expect(Math.max(r, g, b) - Math.min(r, g, b)).toBeLessThan(1e-5);
      expect(colourOf(deviation, scale)).toEqual(colourOf(0, scale));
    }
  });
  it('can all be shown on a screen without clipping', () => {
    for (const rgb of [...side(1), ...side(-1)]) for (const part of rgb) {
      expect(part).toBeGreaterThanOrEqual(0);
      expect(part).toBeLessThanOrEqual(1);
    }
  });
  it('take equal perceptual steps for equal millimetres on each side', () => {
    for (const colours of [side(1), side(-1)]) {
      const steps = colours.slice(1).map((rgb, i) => step(rgb, colours[i]!));
      expect(Math.max(...steps) / Math.min(...steps)).toBeLessThan(1.01);
    }
  });
  it('are as dark outside as inside at the same size, and darker the larger it is', () => {
    side(1).forEach((rgb, i) => expect(okLabOf(rgb).L).toBeCloseTo(okLabOf(side(-1)[i]!).L, 4));
    const lightness = side(1).map((rgb) => okLabOf(rgb).L);
    lightness.slice(1).forEach((L, i) => expect(L).toBeLessThan(lightness[i]!));
  });
  it('show the limit as a step that is far larger than the steps beside it', () => {
    for (const sign of [1, -1]) {
      const atLimit = step(colourOf(sign * 0.3, scale), colourOf(sign * 0.301, scale));
      const beside = step(colourOf(sign * 0.301, scale), colourOf(sign * 0.302, scale));
      expect(atLimit).toBeGreaterThan(20 * beside);
    }
  });
  it('keep outside and inside apart for red-blind and green-blind eyes', () => {
    // 0.02 in OKLab is about the smallest difference seen side by side (common practice); five times that here.
    for (const eye of [protanope, deuteranope]) side(1).forEach((rgb, i) => {
      expect(step(seenBy(eye, rgb), seenBy(eye, side(-1)[i]!))).toBeGreaterThan(0.1);
    });
  });
  it('make a table that runs from deepest inside to deepest outside', () => {
    const table = colourTable(scale);
    expect(table).toHaveLength(4 * TABLE_SIZE);
    expect(table[2]!).toBeGreaterThan(table[0]!); // blue end
    expect(table[4 * (TABLE_SIZE - 1)]!).toBeGreaterThan(table[4 * (TABLE_SIZE - 1) + 2]!); // brown end
  });
});

describe('the scale', () => {
  it('reaches a round number and leaves the tolerance band a third at most', () => {
    expect(scaleFor(0.3, 0.2).range_mm).toBeCloseTo(1);
    expect(scaleFor(0.3, 1.13).range_mm).toBeCloseTo(1.2);
    expect(scaleFor(0.3, 7.2).range_mm).toBeCloseTo(8);
    expect(scaleFor(0.05, 0).range_mm).toBeCloseTo(0.15);
  });
});
