// What a person or a gauge typed into the field.
import type { MeasuredChart } from '../api/types';
import { measuredValue } from '../inspect/draft';

export type Typed = { value: number } | { fault: 'missing' | 'not-a-number' };

export function typed(text: string): Typed {
  if (text.trim() === '') return { fault: 'missing' };
  const value = measuredValue(text);
  return value === null ? { fault: 'not-a-number' } : { value };
}

// So far from what this box's cores measured that a slip is likelier than the value: a lost digit, another unit.
export function farOff(value: number, limits: MeasuredChart['limits'] | undefined): boolean {
  return limits !== undefined && Math.abs(value - limits.centre) > 10 * (limits.upper - limits.lower);
}

// As many decimals as the gauge shows, three at most.
export function decimalsOf(values: readonly number[]): 0 | 1 | 2 | 3 {
  const most = Math.max(0, ...values.map((value) => (String(value).split('.')[1] ?? '').length));
  return Math.min(most, 3) as 0 | 1 | 2 | 3;
}
