import { describe, expect, it } from 'vitest';
import type { Checkpoint } from '../api/types';
import { boundsOf, within } from './bounds';

const dowels: Checkpoint = {
  id: 'dowels', title: 'Dowels', how: '', fails_when: '', evidence: 'measure', unit: 'mm', consequence: 'hold',
  allowed: { at_least: 0, at_most: 0.5, at_most_of: 'mismatch' },
};

describe('the bounds of a measured check', () => {
  it('are a share of the box’s own limit', () => {
    expect(boundsOf(dowels, { surface_mm: 0.3, mismatch_mm: 0.4, gap_mm: 0.2 })).toEqual({ lowest: 0, highest: 0.2 });
  });
  it('do not bound from above while the box’s limits are not known', () => {
    expect(boundsOf(dowels, undefined)).toEqual({ lowest: 0 });
  });
  it('hold the bound itself', () => {
    expect(within({ lowest: 0, highest: 0.2 }, 0.2)).toBe(true);
    expect(within({ lowest: 0, highest: 0.2 }, 0.21)).toBe(false);
    expect(within({ lowest: 0 }, -0.01)).toBe(false);
  });
});
