import { describe, expect, it } from 'vitest';
import type { MeasuredChart, RunRule } from '../api/types';
import { meaningsOf, signalRuns } from './signals';

function chartOf(values: number[], signals: [number, RunRule, ('main' | 'spread')?][]): MeasuredChart {
  return {
    of: 'core weight', unit: 'g', values: values.length, baseline: { first: 1, last: 25, given: false },
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

describe('what a signal may mean', () => {
  it('of a weight that went up is first of all a gap', () => expect(meaningsOf('up', ['one-side'], 'g')).toEqual(['gap', 'denser', 'worn']));
  it('of a weight that went down is a soft spot', () => expect(meaningsOf('down', ['far-pair'], 'kg')[0]).toBe('soft'));
  it('of a drift alone is wear first of all, beside a step it comes last', () => {
    expect(meaningsOf('up', ['drift'], 'mm')[0]).toBe('wearing');
    expect(meaningsOf('up', ['drift', 'one-side'], 'g')).toEqual(['gap', 'denser', 'worn', 'wearing']);
  });
  it('of one value outside alone is first of all a reason to measure again', () => {
    expect(meaningsOf('up', ['outside-limits'], 'g')[0]).toBe('again');
    expect(meaningsOf('up', ['outside-limits', 'far-pair'], 'g')[0]).toBe('gap');
  });
});
