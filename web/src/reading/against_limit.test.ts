import { expect, it } from 'vitest';
import { againstLimit } from './against_limit';

it('a mismatch is called over or within its limit only when its uncertainty leaves no doubt', () => {
  expect(againstLimit(0.52, 0.05, 0.4)).toBe('over');
  expect(againstLimit(-0.52, 0.05, 0.4)).toBe('over');
  expect(againstLimit(0.2, 0.05, 0.4)).toBe('under');
  expect(againstLimit(0.42, 0.05, 0.4)).toBe('straddles');
  expect(againstLimit(0.38, 0.05, 0.4)).toBe('straddles');
});
