// Signals of a chart as people read them: those of one rule that follow each other told as one, sorted by which way the
// level went, each with what it may mean at a core box.
import type { MeasuredChart, MeasurementUnit, RunRule } from '../api/types';

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

// The likeliest first. A drift alone looks like wear whatever is measured; beside other signals it may be one of them.
export function meaningsOf(way: Way, rules: readonly RunRule[], unit: MeasurementUnit): Meaning[] {
  const single: Meaning[] = rules.every((rule) => rule === 'outside-limits') ? ['again'] : [];
  if (way === 'scatter') return [...single, 'closes'];
  const drift: Meaning[] = rules.includes('drift') ? ['wearing'] : [];
  const step = causes(way, unit);
  return rules.every((rule) => rule === 'drift') ? [...drift, ...step] : [...single, ...step, ...drift];
}
