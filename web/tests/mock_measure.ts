// Measurements and their chart in the mock: limits from the first 25 values and the one rule of the limits, enough for
// every state of the screen.
import type { MeasuredChart, MeasuredValue, MeasurementRequest, Measurements } from '../src/api/types';

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
      characteristics: all.map((one) => ({ of: one.of, unit: one.unit, values: one.values.length, last_at: one.values.at(-1)!.at })),
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
    const { value, run } = request;
    const kept = { number: series.values.length + 1, who: 'Wren Halloway', at: new Date().toISOString(), value, ...(run && { run }) };
    series.values.push(kept);
    this.kept.set(request.request, kept);
    return kept;
  }
  chart(box: string, of: string): MeasuredChart | null {
    const series = this.series.get(box)?.find((one) => one.of === of);
    if (!series || series.values.length < 3) return null;
    const first = series.values.slice(0, 25).map((one) => one.value);
    const centre = first.reduce((sum, value) => sum + value, 0) / first.length;
    const steps = first.slice(1).map((value, i) => Math.abs(value - first[i]!));
    const step = steps.reduce((sum, value) => sum + value, 0) / steps.length;
    const sigma = step / 1.128;
    const limits = { centre, lower: centre - 3 * sigma, upper: centre + 3 * sigma };
    const outside = series.values.filter(({ value }) => value < limits.lower || value > limits.upper);
    const [low, high] = [outside[0]?.number ?? 0, outside.at(-1)?.number ?? 0];
    return {
      of, unit: series.unit, values: series.values.length, baseline: { first: 1, last: first.length, given: false }, limits, sigma,
      spread: { centre: step, lower: 0, upper: 3.267 * step },
      points: series.values.map((one, index) => ({
        index, label: String(one.number), value: one.value, lower: limits.lower, upper: limits.upper,
        ...(index > 0 && { spread: Math.abs(one.value - series.values[index - 1]!.value), spread_lower: 0, spread_upper: 3.267 * step }),
      })),
      signals: outside.map(({ number }) => ({ index: number - 1, label: String(number), rule: 'outside-limits', chart: 'main', text: 'outside' })),
      rules: [{ rule: 'outside-limits', definition: 'one point above the upper or below the lower limit', meaning: 'something large changed' }],
      run_length: { in_control: 370, one_sigma_shift: 44 },
      changes: outside.length === 0 ? [] : [{
        index: low - 1, low_index: Math.max(0, low - 3), high_index: low - 1, label: String(low), low_label: String(Math.max(1, low - 2)), high_label: String(low),
        first_signal_index: low - 1, last_signal_index: high - 1, shift_sigmas: 4, confidence: 0.95, text: 'The level moved.' }],
      notes: ['A mock: limits only.'],
    };
  }
}
