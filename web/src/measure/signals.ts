// Signals of a chart as people read them: those of one rule that follow each other told as one, sorted by which way the
// level went, each with what it may mean at a core box.
import type { MeasuredChart, MeasuredValue, MeasurementUnit, RunRule } from '../api/types';

export type Change = MeasuredChart['changes'][number];
export type Way = 'up' | 'down' | 'scatter';
export type Meaning = 'again' | 'gap' | 'denser' | 'worn' | 'wearing' | 'soft' | 'buildUp' | 'closes' | 'larger' | 'smaller' | 'other';

export interface SignalRun {
  rule: RunRule;
  way: Way;
  letter: string; // told in the drawing and in the list
  first: number; // points, from 0
  last: number;
  points: number[];
}

// Points of one rule further apart than this are told apart.
const NEIGHBOURS = 5;

function wayOf(chart: MeasuredChart, signal: MeasuredChart['signals'][number]): Way {
  if (signal.chart === 'spread') return 'scatter';
  const here = chart.points[signal.index]?.value ?? chart.limits.centre;
  const against = signal.rule === 'drift' ? (chart.points[signal.index - 1]?.value ?? here) : chart.limits.centre;
  return here >= against ? 'up' : 'down';
}

export function signalRuns(chart: MeasuredChart): SignalRun[] {
  const runs: SignalRun[] = [];
  for (const signal of chart.signals) {
    const way = wayOf(chart, signal);
    const known = [...runs].reverse().find((run) => run.rule === signal.rule && run.way === way);
    if (known && signal.index <= known.last + NEIGHBOURS) {
      known.last = signal.index;
      known.points.push(signal.index);
    } else {
      const letter = String.fromCharCode(65 + (runs.length % 26));
      runs.push({ rule: signal.rule, way, letter, first: signal.index, last: signal.index, points: [signal.index] });
    }
  }
  return runs;
}

function causes(way: 'up' | 'down', unit: MeasurementUnit): Meaning[] {
  if (unit === 'g' || unit === 'kg') return way === 'up' ? ['gap', 'denser', 'worn'] : ['soft', 'buildUp'];
  if (unit === 'mm') return way === 'up' ? ['larger', 'gap'] : ['smaller', 'buildUp'];
  return ['other'];
}

// Where the level moved: the place of a jump, a drift as far as it is seen.
export const stretchOf = (change: Change): { low: number; high: number } =>
  change.drift ? { low: change.drift.from_index, high: change.last_signal_index } : { low: change.low_index, high: change.high_index };

// The last value that was surely before the change: whatever was made after it is in doubt. The change's own first value
// when none before it is in sight.
export function lastBefore(chart: MeasuredChart, change: Change, values: readonly MeasuredValue[]): MeasuredValue | undefined {
  const first = change.drift?.from_low_index ?? change.low_index;
  const label = chart.points[Math.max(first - 1, 0)]?.label;
  return values.find((one) => String(one.number) === label);
}

// Hours in which suspect cores were made; runs of a box do not overlap.
export const hoursOf = (lots: readonly { from: string; to: string }[]): number =>
  lots.reduce((sum, lot) => sum + Math.max(0, Date.parse(lot.to) - Date.parse(lot.from)), 0) / 3_600_000;

// As the record of suspect cores names what is in doubt.
export const propertyOf = (of: string, unit: MeasurementUnit): string => (unit === 'g' || unit === 'kg' ? 'weight' : of);

// The likeliest first. A level that drifts, or six values rising with no other signal, look like wear whatever is
// measured; beside other signals the six may be one of them.
export function meaningsOf(way: Way, rules: readonly RunRule[], unit: MeasurementUnit, drifts = false): Meaning[] {
  const single: Meaning[] = rules.every((rule) => rule === 'outside-limits') ? ['again'] : [];
  if (way === 'scatter') return [...single, 'closes'];
  const drift: Meaning[] = drifts || rules.includes('drift') ? ['wearing'] : [];
  const step = causes(way, unit);
  return drifts || rules.every((rule) => rule === 'drift') ? [...drift, ...step] : [...single, ...step, ...drift];
}
