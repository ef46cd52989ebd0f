import { describe, expect, it } from 'vitest';
import { outlinePath } from './outline';

describe('the outline of a core to point at', () => {
  it('fills the picture from left to right but for a margin, and turns y downward', () => {
    const { path, aspect } = outlinePath([{ closed: true, points_mm: [[0, 0], [100, 0], [100, 50], [0, 50]] }]);
    expect(aspect).toBeCloseTo(116 / 66);
    const [first] = path.slice(1).split('L');
    const [x, y] = first!.split(' ').map(Number);
    expect(x).toBeCloseTo((8 / 116) * 1000, 0);
    expect(y).toBeCloseTo((58 / 116) * 1000, 0);
  });
  it('is empty when no drawing is on record', () => {
    expect(outlinePath([]).path).toBe('');
  });
  it('passes over places the scan did not see', () => {
    expect(outlinePath([{ closed: false, points_mm: [[0, 0], [null, null], [10, 10]] }]).path).not.toContain('NaN');
  });
});
