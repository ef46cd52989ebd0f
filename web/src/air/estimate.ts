// What other states of the vents would do, at once: from what the study solved for each vent alone. Steps of one vent
// are joined by straight lines over the logarithm of what is left open; several vents are put together as if each
// multiplied what the others do. The full solve says how well that held.
import type { GasAnswer, PlugStep } from '../api/types';

export interface AirFigures {
  vents_kg_s: number[];
  gap_kg_s: number;
  total_kg_s: number;
  p50_s: number;
  p95_s: number;
  reachedLast_s: number;
  unpurged: number;
}

export type Plugged = Record<string, number>; // by vent, 0 to 1

export const pluggedOf = (gas: GasAnswer): Plugged => Object.fromEntries(gas.vents.map((vent) => [vent.id, vent.plugged]));

export function figuresOf(gas: GasAnswer): AirFigures {
  return {
    vents_kg_s: gas.vents.map((vent) => vent.mass_flow_kg_s),
    gap_kg_s: gas.parting_gap.mass_flow_kg_s,
    total_kg_s: gas.mass_flow_kg_s,
    p50_s: gas.residence_s.p50,
    p95_s: gas.residence_s.p95,
    reachedLast_s: gas.reached_last.residence_s,
    unpurged: gas.unpurged_fraction,
  };
}

const left = (plugged: number): number => Math.log(Math.max(1 - plugged, 1e-3));

function valueAt(steps: readonly PlugStep[], plugged: number, value: (step: PlugStep) => number): number {
  const after = steps.findIndex((step) => step.plugged >= plugged);
  if (after === 0) return value(steps[0]!);
  if (after < 0) return value(steps[steps.length - 1]!);
  const [low, high] = [steps[after - 1]!, steps[after]!];
  const share = (left(plugged) - left(low.plugged)) / (left(high.plugged) - left(low.plugged) || 1);
  const [a, b] = [value(low), value(high)];
  return a > 0 && b > 0 ? Math.exp(Math.log(a) + share * (Math.log(b) - Math.log(a))) : a + share * (b - a);
}

export function estimate(gas: GasAnswer, tried: Plugged): AirFigures {
  const found = figuresOf(gas);
  const moved = gas.vents
    .map((vent, v) => ({ v, steps: vent.when_plugged, from: vent.plugged, to: tried[vent.id] ?? vent.plugged }))
    .filter((one) => one.steps.length > 0 && one.from !== one.to);
  const times = (value: (step: PlugStep) => number, without = -1): number =>
    moved.reduce((product, one) => {
      const before = one.v === without ? 0 : valueAt(one.steps, one.from, value);
      return before > 0 ? product * (valueAt(one.steps, one.to, value) / before) : product;
    }, 1);
  const vents_kg_s = found.vents_kg_s.map((flow, v) => {
    const own = moved.find((one) => one.v === v);
    const alone = own ? valueAt(own.steps, own.to, (step) => step.vents_kg_s[v]!) : flow;
    return alone * times((step) => step.vents_kg_s[v]!, v);
  });
  const gap_kg_s = found.gap_kg_s * times((step) => step.parting_gap_kg_s);
  const more = moved.reduce(
    (sum, one) => sum + valueAt(one.steps, one.to, (step) => step.unpurged_fraction) - valueAt(one.steps, one.from, (step) => step.unpurged_fraction), 0);
  return {
    vents_kg_s,
    gap_kg_s,
    total_kg_s: vents_kg_s.reduce((sum, flow) => sum + flow, gap_kg_s),
    p50_s: found.p50_s * times((step) => step.p50_s),
    p95_s: found.p95_s * times((step) => step.p95_s),
    reachedLast_s: found.reachedLast_s * times((step) => step.reached_last_s),
    unpurged: Math.min(1, Math.max(0, found.unpurged + more)),
  };
}

// How a vent stands against its plug limit: the words and marks of the page follow.
export type VentState = 'free' | 'within' | 'near' | 'over';
export function ventState(plugged: number, limit: number, nearShare: number): VentState {
  if (limit >= 1) return 'free';
  if (plugged > limit) return 'over';
  return plugged > nearShare * limit ? 'near' : 'within';
}
