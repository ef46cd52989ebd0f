import { describe, expect, it } from 'vitest';
import { decimalsOf, farOff, typed } from './typed';

describe('a value from the gauge', () => {
  it('is read with a point or a comma', () => {
    expect(typed('412.3')).toEqual({ value: 412.3 });
    expect(typed(' 412,3 ')).toEqual({ value: 412.3 });
  });
  it('is missed when nothing was typed, and refused when it is no number', () => {
    expect(typed('  ')).toEqual({ fault: 'missing' });
    expect(typed('41x')).toEqual({ fault: 'not-a-number' });
  });
  it('is doubted when a digit got lost', () => {
    const limits = { centre: 2140, lower: 2122, upper: 2158 };
    expect(farOff(214, limits)).toBe(true);
    expect(farOff(2200, limits)).toBe(false);
    expect(farOff(214, undefined)).toBe(false);
  });
  it('is shown with the gauge’s own decimals', () => {
    expect(decimalsOf([2140, 2140.5])).toBe(1);
    expect(decimalsOf([63.02, 63])).toBe(2);
    expect(decimalsOf([])).toBe(0);
  });
});
