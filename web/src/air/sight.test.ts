import { describe, expect, it } from 'vitest';
import type { Cavity } from './cavity_blob';
import { isHidden } from './sight';

// A slab of sand, ten cells of 2 mm high, with three empty cells around it.
function slab(): Cavity {
  const cells: Cavity['cells'] = [16, 16, 16];
  const codes = new Uint8Array(4 * 16 ** 3);
  for (let i = 0; i < 16 ** 3; i++) {
    const at = [i % 16, Math.floor(i / 16) % 16, Math.floor(i / 256)];
    if (at.every((one) => one >= 3 && one < 13)) codes[4 * i + 1] = 255;
  }
  return { positions: new Float32Array(), triangles: new Uint32Array(), cells, low_mm: [0, 0, 0], cell_mm: 2, age: { low_s: 1, high_s: 2 }, codes };
}
const onTop = [16, 16, 26], below = [16, 16, 6], above = [40, -60, 300];
const whole = (): boolean => false;

describe('a mark on the wall', () => {
  it('is seen from its own side and hidden from the other', () => {
    expect(isHidden(slab(), onTop, above, whole)).toBe(false);
    expect(isHidden(slab(), below, above, whole)).toBe(true);
    expect(isHidden(slab(), below, [16, 16, -200], whole)).toBe(false);
  });
  it('is seen at a flat angle along its wall', () => {
    expect(isHidden(slab(), onTop, [400, 16, 36], whole)).toBe(false);
  });
  it('comes into sight when what hides it is cut away', () => {
    expect(isHidden(slab(), below, above, (at) => at[2]! > 8)).toBe(false);
    expect(isHidden(slab(), below, above, (at) => at[2]! > 20)).toBe(true);
  });
});
