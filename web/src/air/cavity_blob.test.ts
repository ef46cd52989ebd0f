import { describe, expect, it } from 'vitest';
import { BadCavity, openCavity } from './cavity_blob';

function blob(change: (head: DataView) => void = () => {}): ArrayBuffer {
  const bytes = new ArrayBuffer(48 + 36 + 12 + 4 * 6);
  const head = new DataView(bytes);
  head.setUint32(0, 0x42464131, false);
  [3, 1, 3, 2, 1].forEach((value, i) => head.setUint32(4 + 4 * i, value, true));
  [-1, -2, -3, 2.5, 0.25, 4].forEach((value, i) => head.setFloat32(24 + 4 * i, value, true));
  [0, 1, 2].forEach((value, i) => head.setUint32(84 + 4 * i, value, true));
  for (let i = 0; i < 24; i++) head.setUint8(96 + i, i);
  change(head);
  return bytes;
}

describe('the cavity of a study', () => {
  it('is read as the service lays it down', () => {
    const cavity = openCavity(blob());
    expect([cavity.cells, cavity.low_mm, cavity.cell_mm]).toEqual([[3, 2, 1], [-1, -2, -3], 2.5]);
    expect(cavity.age).toEqual({ low_s: 0.25, high_s: 4 });
    expect([...cavity.triangles]).toEqual([0, 1, 2]);
    expect(cavity.codes[4 * 5 + 1]).toBe(21);
  });
  it('is refused when it is cut short, of another kind, or points beyond itself', () => {
    expect(() => openCavity(blob().slice(0, 90))).toThrow(BadCavity);
    expect(() => openCavity(blob((head) => head.setUint32(0, 1, false)))).toThrow(BadCavity);
    expect(() => openCavity(blob((head) => head.setUint32(84, 3, true)))).toThrow(BadCavity);
    expect(() => openCavity(blob((head) => head.setFloat32(44, 0.1, true)))).toThrow(BadCavity);
  });
});
