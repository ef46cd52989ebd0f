import { describe, expect, it } from 'vitest';
import type { MeasuredChart, RunRule } from '../api/types';
import { hoursOf, lastBefore, meaningsOf, propertyOf, signalRuns, stretchOf, type Change } from './signals';

function chartOf(values: number[], signals: [number, RunRule, ('main' | 'spread')?][]): MeasuredChart {
  return {
    of: 'core weight', unit: 'g', values: values.length, struck: 0, baseline: { first: 1, last: 25, given: false },
    limits: { centre: 100, lower: 94, upper: 106 },
    points: values.map((value, index) => ({ index, label: String(index + 1), value, lower: 94, upper: 106 })),
    signals: signals.map(([index, rule, chart]) => ({ index, rule, label: String(index + 1), chart: chart ?? 'main', text: '' })),
    rules: [], run_length: {}, changes: [], notes: [],
  };
}

describe('signals of core weights', () => {
  it('of one rule that follow each other are told as one', () => {
    const runs = signalRuns(chartOf(Array(30).fill(108), [[3, 'outside-limits'], [4, 'outside-limits'], [5, 'far-pair'], [20, 'outside-limits']]));
    expect(runs.map(({ rule, first, last, letter }) => [rule, first, last, letter])).toEqual([
      ['outside-limits', 3, 4, 'A'], ['far-pair', 5, 5, 'B'], ['outside-limits', 20, 20, 'C']]);
  });
  it('say which way the weight went; a drift by its own direction', () => {
    const runs = signalRuns(chartOf([100, 108, 90, 99, 98], [[1, 'outside-limits'], [2, 'outside-limits'], [4, 'drift'], [2, 'outside-limits', 'spread']]));
    expect(runs.map(({ way }) => way)).toEqual(['up', 'down', 'down', 'scatter']);
  });
});

describe('a change', () => {
  const jump: Change = {
    index: 12, low_index: 10, high_index: 14, label: '13', low_label: '11', high_label: '15', first_signal_index: 15, last_signal_index: 20,
    shape: 'jump', text: '',
  };
  const drift: Change = {
    ...jump, shape: 'drift',
    drift: { from_index: 6, from_low_index: 4, from_high_index: 9, from_label: '7', from_low_label: '5', from_high_label: '10', per_100_points: { value: 30, low: 20, high: 40 } },
  };
  const chart = chartOf(Array(30).fill(100), []);
  const values = chart.points.map(({ label, value }) => ({ number: Number(label), value: value!, who: 'Asha', at: '2026-11-23T06:00:00Z' }));
  it('is marked where it jumped, a drift from where it began to the last signal', () => {
    expect(stretchOf(jump)).toEqual({ low: 10, high: 14 });
    expect(stretchOf(drift)).toEqual({ low: 6, high: 20 });
  });
  it('puts in doubt what was made after the last value that was surely good', () => {
    expect(lastBefore(chart, jump, values)?.number).toBe(10);
    expect(lastBefore(chart, drift, values)?.number).toBe(4);
    expect(lastBefore(chart, { ...jump, low_index: 0 }, values)?.number).toBe(1);
    expect(lastBefore(chart, jump, [])).toBeUndefined();
  });
  it('is of the weight whatever the weight is called, and of a size by its name', () => {
    expect(propertyOf('core weight', 'kg')).toBe('weight');
    expect(propertyOf('print diameter', 'mm')).toBe('print diameter');
  });
  it('took the hours of all runs together', () => {
    const hour = (n: number): string => `2026-11-23T${String(n).padStart(2, '0')}:00:00Z`;
    expect(hoursOf([{ from: hour(6), to: hour(8) }, { from: hour(10), to: hour(11) }])).toBe(3);
    expect(hoursOf([])).toBe(0);
  });
});

describe('what a signal may mean', () => {
  it('of a weight that went up is first of all a gap', () => expect(meaningsOf('up', ['one-side'], 'g')).toEqual(['gap', 'denser', 'worn']));
  it('of a weight that went down is a soft spot', () => expect(meaningsOf('down', ['far-pair'], 'kg')[0]).toBe('soft'));
  it('of a drift alone is wear first of all, beside a step it comes last', () => {
    expect(meaningsOf('up', ['drift'], 'mm')[0]).toBe('wearing');
    expect(meaningsOf('up', ['drift', 'one-side'], 'g')).toEqual(['gap', 'denser', 'worn', 'wearing']);
  });
  it('of a level that drifts is wear first of all, by whatever rule it was seen', () =>
    expect(meaningsOf('down', ['outside-limits', 'one-side'], 'g', true)).toEqual(['wearing', 'soft', 'buildUp']));
  it('of one value outside alone is first of all a reason to measure again', () => {
    expect(meaningsOf('up', ['outside-limits'], 'g')[0]).toBe('again');
    expect(meaningsOf('up', ['outside-limits', 'far-pair'], 'g')[0]).toBe('gap');
  });
});
