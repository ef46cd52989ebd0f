import { describe, expect, it } from 'vitest';
import type { ClosingPage } from '../api/types';
import { NewestOnly, triedOf, valuesOf, withBush, withPin } from './tried';

const page = {
  dowels: [{ id: 'D1', pin_mm: 12, bush_mm: 12.05 }],
  clamps: [{ id: 'C1', kind: 'bolt', torque_Nm: 60 }, { id: 'C2', kind: 'toggle', force_N: 8000 }],
  readings: [{ at_mm: [0, 0], clamped_mm: 0.05 }, { at_mm: [9, 0], clamped_mm: 0.12 }],
} as unknown as ClosingPage;

describe('values tried', () => {
  it('begin with those on record, and go out under their own names', () => {
    expect(triedOf(page, valuesOf(page))).toEqual({
      dowels: [{ id: 'D1', pin_mm: 12, bush_mm: 12.05 }],
      clamps: [{ id: 'C1', torque_Nm: 60 }, { id: 'C2', force_N: 8000 }],
      clamped_mm: 0.12,
    });
  });
  it('never hold a pin that is larger than its bush', () => {
    const thick = withPin(valuesOf(page), 'D1', 12.4);
    expect([thick.pins.D1, thick.bushes.D1]).toEqual([12.4, 12.4]);
    const narrow = withBush(thick, 'D1', 11.9);
    expect([narrow.pins.D1, narrow.bushes.D1]).toEqual([11.9, 11.9]);
  });
});

describe('asking while a slider moves', () => {
  it('asks the first and the newest question, and none between', async () => {
    const asked: number[] = [];
    const told: number[] = [];
    let free: () => void = () => {};
    const questions = new NewestOnly<number, number>(
      async (question) => {
        asked.push(question);
        await new Promise<void>((done) => (free = done));
        return question;
      },
      (reply) => told.push(reply),
      () => {},
    );
    const all = questions.put(1);
    for (let later = 2; later <= 9; later++) void questions.put(later);
    free();
    await new Promise((next) => setTimeout(next));
    free();
    await all;
    expect(asked).toEqual([1, 9]);
    expect(told).toEqual([1, 9]);
  });
  it('goes on after a question that failed', async () => {
    const told: number[] = [];
    const failures: unknown[] = [];
    const questions = new NewestOnly<number, number>(
      async (question) => (question === 1 ? Promise.reject(new Error('away')) : question),
      (reply) => told.push(reply),
      (failure) => failures.push(failure),
    );
    await questions.put(1);
    await questions.put(2);
    expect(told).toEqual([2]);
    expect(failures).toHaveLength(1);
  });
});
