import { expect, test } from 'vitest';
import { keepSeen, lastSeen } from './seen';

function memory(): Storage {
  const kept = new Map<string, string>();
  return { getItem: (key: string) => kept.get(key) ?? null, setItem: (key: string, value: string) => void kept.set(key, value) } as Storage;
}

test('what one person has seen is not another’s, and what is garbled counts as nothing', () => {
  const store = memory();
  expect(lastSeen('Asha', store)).toBeUndefined();
  keepSeen('Asha', 52, store);
  expect(lastSeen('Asha', store)).toBe(52);
  expect(lastSeen('Bram', store)).toBeUndefined();
  store.setItem('boxfettle.seen.Bram', 'fifty');
  expect(lastSeen('Bram', store)).toBeUndefined();
});

test('a store that refuses loses nothing but the mark', () => {
  const full = { getItem: () => null, setItem: () => { throw new Error('full'); } } as unknown as Storage;
  expect(() => keepSeen('Asha', 1, full)).not.toThrow();
});
