import { describe, expect, it } from 'vitest';
import { okLabOf } from '../reading/deviation_colours';
import { ageAtShare, ageTable, colourOfAge, colourOfShare, scaleOver, shareOfAge, TABLE } from './late_colours';

const scale = scaleOver([{ low_s: 0.02, high_s: 1 }, { low_s: 0.05, high_s: 8 }], 6);

describe('the colours of lateness', () => {
  it('share one scale among the states that are compared', () => {
    expect([scale.low_s, scale.high_s]).toEqual([0.02, 8]);
    expect(shareOfAge(ageAtShare(0.3, scale), scale)).toBeCloseTo(0.3, 12);
  });
  it('grow darker evenly with the ratio of times', () => {
    const light = [0, 0.25, 0.5, 0.75, 1].map((share) => okLabOf(colourOfShare(share)).L);
    const steps = light.slice(1).map((L, i) => light[i]! - L);
    for (const step of steps) expect(step).toBeCloseTo(steps[0]!, 2);
    expect(steps[0]).toBeGreaterThan(0.1);
  });
  it('leave the blue beyond the gassing time', () => {
    const [red, , blue] = colourOfAge(7, scale);
    expect(red).toBeGreaterThan(blue + 0.2);
    const [r, , b] = colourOfAge(5.5, scale);
    expect(b).toBeGreaterThan(r);
    const table = ageTable(scale);
    expect(table[4 * (TABLE - 1)]!).toBeGreaterThan(table[4 * (TABLE - 1) + 2]!);
  });
});
