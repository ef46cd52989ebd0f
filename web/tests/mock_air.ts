// Air and gas of the mock's one known box: the invented core as a block of cells, four vents, and rules of thumb in place
// of a solver: enough for every state of the screen.
import type { AirPage, AirStudy, GasAnswer } from '../src/api/types';
import { outsideOf } from './invented_core';

const END_S = 6;
const vents = [
  { id: 'V1', at_mm: [118, 0, 46], diameter_mm: 10, plugged: 0.1, pull: 1 },
  { id: 'V2', at_mm: [0, 88, 38], diameter_mm: 10, plugged: 0.55, pull: 0.7 },
  { id: 'V3', at_mm: [-120, 0, 24], diameter_mm: 8, plugged: 0, pull: 0.5 },
  { id: 'V4', at_mm: [0, -88, 34], diameter_mm: 8, plugged: 0, pull: 0.4 },
];
const limits = [1, 0.5, 0.6, 0.8];

export const mockAirPage = (study: string | undefined): AirPage => ({
  vents: vents.map(({ id, at_mm, diameter_mm, plugged }, i) => ({
    id, at_mm, diameter_mm, plugged,
    plugged_origin: i === 1 ? { from: 'check', at: '2026-11-25T08:10:00Z' } : { from: 'box-file' },
    ...(i === 1 && { plugging: { per_hour: 0.15, origin: '3 vent checks on record, made during runs' } }),
  })),
  gas_bar: 1.5, gas_seconds: END_S,
  ...(study !== undefined && { study }),
});

interface State {
  vents_kg_s: number[];
  late: number; // times as late as with clean vents
}
function stateOf(plugged: readonly number[]): State {
  const vents_kg_s = vents.map((vent, v) => 1e-3 * vent.pull * (1 - plugged[v]!) ** 0.6);
  const late = plugged.reduce((product, share, v) => product * (1 + (vents[v]!.pull * share ** 2) / (1.04 - share)), 1);
  return { vents_kg_s, late };
}
const times = (late: number) => ({ p50_s: 0.35 * late ** 0.4, p95_s: 1.1 * late ** 0.8, reached_last_s: 1.5 * late, unpurged_fraction: Math.max(0, 0.004 * (late - 2)) });

export function mockAirStudy(id: string, tried: Record<string, number>): AirStudy {
  const plugged = vents.map((vent) => tried[vent.id] ?? vent.plugged);
  const now = stateOf(plugged);
  const gap = 1.2e-4;
  const all = now.vents_kg_s.reduce((sum, one) => sum + one, gap);
  const last = times(now.late).reached_last_s;
  const verdict = last > 3.4 ? 'hold' : plugged.some((share, v) => limits[v]! < 1 && share > 0.8 * limits[v]!) ? 'watch' : 'fit';
  const own = "Boxfettle's own line, no published figure is known";
  const gas: GasAnswer = {
    mass_flow_kg_s: all,
    vents: vents.map((vent, v) => ({
      id: vent.id, at_mm: vent.at_mm, diameter_mm: vent.diameter_mm, mass_flow_kg_s: now.vents_kg_s[v]!, share: now.vents_kg_s[v]! / all,
      sensitivity: 0.3 - 0.05 * v, plugged: plugged[v]!, plug_limit: limits[v]!, clean_every_min: v === 1 ? 200 : 60,
      clean_every_counts_from: 'clean', ...(v === 1 && { clean_within_min: 0 }),
      clean_every_origin: v === 1 ? 'plugs by 15 % an hour (3 vent checks on record, made during runs)' : 'common practice: hourly, no plugging rate is known',
      drowns_at_fill: 0.9,
      when_plugged: [...new Set([0, 0.4, 0.7, 0.85, 0.93, 0.98, plugged[v]!])].sort((a, b) => a - b).map((share) => {
        const state = stateOf(plugged.map((one, w) => (w === v ? share : one)));
        return { plugged: share, vents_kg_s: state.vents_kg_s, parting_gap_kg_s: gap, ...times(state.late) };
      }),
    })),
    parting_gap: { mass_flow_kg_s: gap, share: gap / all },
    residence_s: { p50: times(now.late).p50_s, p95: times(now.late).p95_s, max: 9 },
    reached_last: { share: 0.05, residence_s: last, as_designed_s: 1.5, limit_s: 3.4, where_mm: [-100, 20, 0] },
    unpurged_fraction: times(now.late).unpurged_fraction,
    pockets: [{ where_mm: [60, 70, 44], volume_mm3: 1240, depth_mm: 7.5, fills_last_rank: 1 }],
    one_more_vent: Array.from({ length: 60 }, (_, k) => {
      const about = 2.6 + 0.03 * k, over = 1.4 - 0.9 * Math.sin(5 * k);
      return {
        rank: k + 1, where_mm: outsideOf(about, over), relative: 1 / (1 + 0.1 * k),
        ...((k === 0 || k === 9 || k === 24) && { saves_share: 0.3 / (1 + 0.2 * k) }),
      };
    }),
    balance_error: 3e-11, inertia_share: 0.4, voxels: 184000, voxel_mm: 2, coarse_voxel_mm: 3.4, permeability_m2: 1.1e-10,
    lines: {
      reached_last_share: { value: 0.05, origin: own }, slower_at_most: { value: 1.5, origin: own }, unpurged_at_most: { value: 0.02, origin: own },
      plugged_of_limit: { value: 0.8, origin: own }, leak_at_most: { value: 0.1, origin: own },
    },
    verdict,
    reasons: verdict === 'fit' ? [] : ['vent V2 is plugged by 55 %; its limit is 50 %'],
    what_it_is: 'What this is: a mock. What it is not: a study.',
    cautions: ['Amine vapour is poisonous and catches fire: gas only with exhaust and scrubber running.'],
    notes: ['A mock: nothing here is computed.'],
  };
  return {
    id, tried, gas,
    blow: {
      fill_time_s: 0.21, peak_cavity_bar: 0.4, choked: false, paths: [], as_designed: { fill_time_s: 0.2, peak_cavity_bar: 0.3 }, verdict: 'fit', reasons: [],
      what_it_is: 'What this is: vessels and openings. What it is not: the sand’s motion.', cautions: ['Wear eye protection.'], notes: [],
    },
  };
}

// The core as a block: ages grow with the way round the ring from the inlet at the front.
export function mockCavity(mesh: { positions: Buffer; triangles: Buffer }, study: AirStudy): Buffer {
  const cell = 4;
  const cells: [number, number, number] = [86, 86, 28];
  const low = [-cell * 43, -cell * 43, -cell * 14];
  const head = Buffer.alloc(48);
  head.write('BFA1', 0, 'latin1');
  head.writeUInt32LE(mesh.positions.length / 12, 4);
  head.writeUInt32LE(mesh.triangles.length / 12, 8);
  cells.forEach((count, k) => head.writeUInt32LE(count, 12 + 4 * k));
  [...low, cell, 0.05, 4 * study.gas.residence_s.p95].forEach((value, k) => head.writeFloatLE(value, 24 + 4 * k));
  const codes = Buffer.alloc(4 * cells[0] * cells[1] * cells[2]);
  let at = 0;
  for (let z = 0; z < cells[2]; z++) {
    for (let y = 0; y < cells[1]; y++) {
      for (let x = 0; x < cells[0]; x++) {
        const point = [x, y, z].map((one, k) => low[k]! + cell * (one + 0.5)) as [number, number, number];
        const about = Math.abs(Math.atan2(point[0], -point[1])) / Math.PI;
        codes[at] = Math.round(255 * Math.min(1, 0.08 + 0.85 * about + 0.05 * Math.sin(point[2] / 9)));
        codes[at + 1] = Math.round(255 * Math.min(1, Math.max(0, 0.5 - insideBy(point) / cell)));
        codes[at + 2] = Math.round((255 * (z + 0.5)) / cells[2]);
        codes[at + 3] = Math.hypot(point[0] - 60, point[1] - 70) < 22 && point[2] > 28 ? 255 : 0;
        at += 4;
      }
    }
  }
  return Buffer.concat([head, mesh.positions, mesh.triangles, codes]);
}

// How far a point stands outside the ring's tube, mm; negative within.
function insideBy([x, y, z]: [number, number, number]): number {
  const about = Math.atan2(y, x);
  const over = Math.atan2(z, Math.hypot(x, y) - 105 - 18 * Math.cos(2 * about));
  const wall = outsideOf(about, over);
  const middle = 105 + 18 * Math.cos(2 * about);
  const reach = (p: readonly number[]): number => Math.hypot(Math.hypot(p[0]!, p[1]!) - middle, p[2]!);
  return reach([x, y, z]) - reach(wall);
}
