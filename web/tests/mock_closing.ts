// How the mock's one known box closes: a plain oval with two dowels and four clamps, enough for every state of the screen.
import type { ClosingAnswer, ClosingPage, ClosingTried } from '../src/api/types';

const clampPlaces: [number, number][] = [[-150, -90], [150, -90], [-150, 90], [150, 90]];
const outline = Array.from({ length: 120 }, (_, k) => {
  const angle = (k * Math.PI) / 60;
  return [Math.round(1000 * Math.cos(angle)) / 10, Math.round(600 * Math.sin(angle)) / 10];
});

const record: Omit<ClosingPage, 'answer'> = {
  dowels: [
    { id: 'D1', at_mm: [-140, 0], kind: 'round', slot_axis: [1, 0], pin_mm: 12, bush_mm: 12.3, from: 'inspection' },
    { id: 'D2', at_mm: [140, 0], kind: 'slot', slot_axis: [1, 0], pin_mm: 12, bush_mm: 12.04, from: 'box-file' },
  ],
  clamps: clampPlaces.map((at_mm, i) => ({ id: `C${i + 1}`, at_mm, kind: 'bolt', thread: 'M12', class: '8.8', torque_Nm: 40 })),
  readings: clampPlaces.map(([x, y], i) => ({ at_mm: [0.9 * x, 0.9 * y], clamped_mm: 0.05 + 0.06 * i })),
  leaf_from: 'inspection',
  inspection: { dowel_shift_mm: 0.3, leaf_clamped_mm: 0.23, entry: 38, at: '2026-11-20T06:00:00Z' },
  wear: {
    readings: 6, told: true, limit_mm: 0.2, series: [0, 1, 2, 3, 4, 5].map((k) => [4000 * k, 0.03 + 0.022 * k]),
    rate_mm_per_1000: { value: 0.0055, low: 0.004, high: 0.007 }, shots_to_limit: { p05: 7000, p50: 10900 },
  },
  outlines: [{ closed: true, points_mm: outline }],
};

function answerTo(tried: ClosingTried): ClosingAnswer {
  const clearances = tried.dowels.map((dowel) => ({ id: dowel.id, clearance_mm: (dowel.bush_mm ?? 0) - (dowel.pin_mm ?? 0) }));
  const worst = Math.max(...clearances.map((one) => one.clearance_mm)) * 0.8;
  const leaf = tried.clamped_mm ?? 0.23;
  const force = tried.clamps.reduce((sum, clamp) => sum + (clamp.torque_Nm ?? 0) / 0.0024, 0);
  return {
    dowels: {
      verdict: worst > 0.4 ? 'hold' : 'fit', assembles: true, held: true, limit_mm: 0.4, worst_mismatch_mm: worst,
      worst_at_mm: [100, 0], worst_shift: { move_mm: [0.1 * worst, 0.6 * worst], angle_deg: 0.2 * worst }, points: [],
      likely_mm: { p50: worst / 3, p95: worst / 1.6, p99: worst / 1.2 },
      wear: clearances.map((one) => ({ ...one, worst_rise_mm: 0.03 })),
      advice: [`The worst shift that pins and bushes allow is ${worst.toFixed(3)} mm.`], notes: ['A mock: nothing here is computed.'],
    },
    gap: {
      verdict: leaf > 0.2 ? 'hold' : 'fit', limit_mm: 0.2, growth_mm: { mean: leaf / 2, max: leaf, at_mm: [150, 90] }, u95_mm: 0.02,
      added_weight_g: 40 * leaf, added_weight_percent: 2 * leaf, leak_share_of_vents: leaf, sand_can_escape: leaf > 0.25,
      closes_under_clamp: leaf <= 0.2, cause: leaf > 0.2 ? ['Something hard lies on the face.'] : [],
      clamp_force_N: force, opening_force_N: 20000, clamp_margin: force / 20000, clamp_margin_low: (0.7 * force) / 20000, slack_first: 'C4',
      clamps: record.clamps.map(({ id, at_mm }, i) => ({ id, at_mm, force_N: force / 4, load_N: 4000 + 700 * i, load_share: 0.2 + 0.035 * i })),
      advice: [`Clamped, the face stands open by up to ${leaf.toFixed(2)} mm.`], notes: [],
    },
    field: {
      size_mm: 10,
      at: Array.from({ length: 20 * 12 }, (_, i) => [-95 + 10 * (i % 20), -55 + 10 * Math.floor(i / 20)])
        .filter(([x, y]) => (x! / 100) ** 2 + (y! / 60) ** 2 < 1)
        .map(([x, y]) => [x!, y!, leaf * (0.5 + x! / 250 + y! / 500)]),
    },
    cautions: ['Clamps hold stored energy: isolate and lock out before hands go between.'],
  };
}

export const mockClosingAnswer = answerTo;
export const mockClosing = (): ClosingPage => ({
  ...record,
  answer: answerTo({ dowels: record.dowels, clamps: record.clamps }),
});
