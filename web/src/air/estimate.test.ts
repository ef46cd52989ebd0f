import { describe, expect, it } from 'vitest';
import type { GasAnswer } from '../api/types';
import { estimate, figuresOf, pluggedOf, ventState } from './estimate';

// Two vents; each alone, plugged, throttles itself and hands half of what it loses to the other.
const step = (v: number, plugged: number) => ({
  plugged,
  vents_kg_s: [0, 1].map((w) => (w === v ? 1 - plugged : 1 + 0.5 * plugged)),
  parting_gap_kg_s: 0.1,
  p50_s: 1 + plugged,
  p95_s: 2 * (1 + plugged) ** 2,
  reached_last_s: 3 / (1 - plugged),
  unpurged_fraction: 0.1 * plugged,
});
const steps = [0, 0.4, 0.7, 0.85, 0.93, 0.98];
const gas = {
  mass_flow_kg_s: 2.1,
  vents: [0, 1].map((v) => ({ id: `V${v + 1}`, plugged: 0, mass_flow_kg_s: 1, when_plugged: steps.map((one) => step(v, one)) })),
  parting_gap: { mass_flow_kg_s: 0.1, share: 0.05 },
  residence_s: { p50: 1, p95: 2, max: 9 },
  reached_last: { residence_s: 3 },
  unpurged_fraction: 0,
} as unknown as GasAnswer;

describe('other states of the vents, at once', () => {
  it('are the study itself when nothing is moved', () => {
    expect(estimate(gas, pluggedOf(gas))).toEqual(figuresOf(gas));
  });
  it('are what was solved at a step, and lie between steps in between', () => {
    const at = estimate(gas, { V1: 0.7, V2: 0 });
    expect(at.vents_kg_s[0]).toBeCloseTo(0.3, 9);
    expect(at.vents_kg_s[1]).toBeCloseTo(1.35, 9);
    expect(at.p95_s).toBeCloseTo(2 * 1.7 ** 2, 9);
    expect(at.unpurged).toBeCloseTo(0.07, 9);
    // 3 / (1 - plugged) is a straight line over what is left open, both as logarithms.
    expect(estimate(gas, { V1: 0.55, V2: 0 }).reachedLast_s).toBeCloseTo(3 / 0.45, 9);
    expect(estimate(gas, { V1: 0.55, V2: 0 }).p50_s).toBeGreaterThan(1.4);
    expect(estimate(gas, { V1: 0.55, V2: 0 }).p50_s).toBeLessThan(1.7);
  });
  it('multiply what each vent does alone', () => {
    const both = estimate(gas, { V1: 0.4, V2: 0.7 });
    expect(both.vents_kg_s[0]).toBeCloseTo(0.6 * 1.35, 9);
    expect(both.p50_s).toBeCloseTo(1.4 * 1.7, 9);
    expect(both.total_kg_s).toBeCloseTo(both.vents_kg_s[0]! + both.vents_kg_s[1]! + both.gap_kg_s, 12);
  });
  it('stay put beyond the last step', () => {
    const [shut, last] = [1, 0.98].map((V1) => estimate(gas, { V1, V2: 0 }));
    expect(shut!.total_kg_s).toBeCloseTo(last!.total_kg_s, 9);
    expect(shut!.reachedLast_s).toBeCloseTo(last!.reachedLast_s, 9);
  });
});

describe('a vent against its limit', () => {
  it('is near it before it is over it, and free without one', () => {
    expect(ventState(0.5, 1, 0.8)).toBe('free');
    expect(ventState(0.3, 0.5, 0.8)).toBe('within');
    expect(ventState(0.45, 0.5, 0.8)).toBe('near');
    expect(ventState(0.55, 0.5, 0.8)).toBe('over');
  });
});
