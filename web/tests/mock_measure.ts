// Measurements and their chart in the mock: limits from the first 25 values and the one rule of the limits, enough for
// every state of the screen.
import type { MeasuredChart, MeasuredValue, MeasurementRequest, Measurements, StrikeRequest, Suspects } from '../src/api/types';

interface Series {
  of: string;
  unit: MeasurementRequest['unit'];
  values: MeasuredValue[];
}

const invented = (): Series => ({
  of: 'core weight', unit: 'g',
  values: Array.from({ length: 60 }, (_, i) => ({
    number: i + 1, who: 'Wren Halloway', at: new Date(Date.UTC(2026, 10, 24, 6) + i * 600_000).toISOString(),
    value: Math.round(2 * (2140 + 6 * Math.sin(2.4 * i) + (i >= 50 ? 30 : 0))) / 2,
  })),
});

export class MockMeasurements {
  private readonly series = new Map<string, Series[]>();
  private readonly kept = new Map<string, MeasuredValue>();

  constructor(first: string) {
    this.series.set(first, [invented()]);
  }
  of(box: string, of: string | null): Measurements {
    const all = this.series.get(box) ?? [];
    return {
      characteristics: all.map((one) => ({ of: one.of, unit: one.unit, values: one.values.length, struck: one.values.filter((value) => value.struck).length, last_at: one.values.at(-1)!.at })),
      values: all.find((one) => one.of === of)?.values ?? [],
    };
  }
  keep(box: string, request: MeasurementRequest): MeasuredValue {
    const before = this.kept.get(request.request);
    if (before) return before;
    const all = this.series.get(box) ?? [];
    this.series.set(box, all);
    const known = all.find((one) => one.of === request.of);
    const series: Series = known ?? { of: request.of, unit: request.unit, values: [] };
    if (!known) all.push(series);
    const { value, run, waited_s = 0 } = request;
    const now = Date.now();
    const kept = {
      number: series.values.length + 1, who: 'Wren Halloway', at: new Date(now - 1000 * waited_s).toISOString(), value,
      ...(run && { run }), ...(waited_s > 0 && { arrived_at: new Date(now).toISOString() }),
    };
    series.values.push(kept);
    this.kept.set(request.request, kept);
    return kept;
  }
  strike(box: string, { of, number, why }: StrikeRequest): MeasuredValue | null {
    const value = this.series.get(box)?.find((one) => one.of === of)?.values.find((one) => one.number === number);
    if (value) value.struck ??= { at: new Date().toISOString(), who: 'Wren Halloway', why };
    return value ?? null;
  }
  chart(box: string, of: string): MeasuredChart | null {
    const series = this.series.get(box)?.find((one) => one.of === of);
    if (!series) return null;
    const standing = series.values.filter((one) => !one.struck);
    if (standing.length < 3) return null;
    const first = standing.slice(0, 25).map((one) => one.value);
    const centre = first.reduce((sum, value) => sum + value, 0) / first.length;
    const steps = first.slice(1).map((value, i) => Math.abs(value - first[i]!));
    const step = steps.reduce((sum, value) => sum + value, 0) / steps.length;
    const sigma = step / 1.128;
    const limits = { centre, lower: centre - 3 * sigma, upper: centre + 3 * sigma };
    const outside = standing.map((one, index) => ({ ...one, index })).filter(({ value }) => value < limits.lower || value > limits.upper);
    const [low, high] = [outside[0]?.index ?? 0, outside.at(-1)?.index ?? 0];
    const label = (index: number): string => String(standing[index]!.number);
    return {
      of, unit: series.unit, values: series.values.length, struck: series.values.length - standing.length,
      baseline: { first: standing[0]!.number, last: standing[first.length - 1]!.number, given: false }, limits, sigma,
      spread: { centre: step, lower: 0, upper: 3.267 * step },
      points: standing.map((one, index) => ({
        index, label: String(one.number), value: one.value, lower: limits.lower, upper: limits.upper,
        ...(index > 0 && { spread: Math.abs(one.value - standing[index - 1]!.value), spread_lower: 0, spread_upper: 3.267 * step }),
      })),
      signals: outside.map(({ number, index }) => ({ index, label: String(number), rule: 'outside-limits', chart: 'main', text: 'outside' })),
      rules: [{ rule: 'outside-limits', definition: 'one point above the upper or below the lower limit', meaning: 'something large changed' }],
      run_length: { in_control: 370, one_sigma_shift: 44 },
      changes: outside.length === 0 ? [] : [{
        index: low, low_index: Math.max(0, low - 2), high_index: low, label: label(low), low_label: label(Math.max(0, low - 2)), high_label: label(low),
        first_signal_index: low, last_signal_index: high, shift_sigmas: 4, confidence: 0.95, shape: 'jump', text: 'The level moved.' }],
      notes: ['A mock: limits only.'],
    };
  }
}

// Two runs since the time asked for, four hours in all.
export function mockDoubt(asked: URLSearchParams): Suspects {
  const from = Date.parse(asked.get('from') ?? '2026-11-24T06:00:00Z');
  const after = (hours: number): string => new Date(from + 3_600_000 * hours).toISOString();
  return {
    property: asked.get('property') ?? '', cores: 187, whole_life: false, sentence: '187 cores in 2 runs.', good_entry: 0, bad_entry: 0,
    lots: [
      { run: 'TM-0412/18', batch: 'B-2211', went_to: 'moulding line 2', from: after(0), to: after(3), cores: 141 },
      { run: 'TM-0412/19', from: after(24), to: after(25), cores: 46 },
    ],
  };
}
