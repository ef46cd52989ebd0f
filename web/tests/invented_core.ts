// An invented core for the mock: a ring of changing thickness, with places that stray from its design, as the service
// would send it. Nothing real is copied.
import type { Finding, Section } from '../src/api/types';

export interface InventedCore {
  blob: Buffer;
  section: Section;
  findings: Finding[];
}

interface Patch {
  about: number; // rad around the ring
  over: number; // rad around the tube
  size: number; // rad
  depth_mm: number;
  finding: number;
}

const patches: Patch[] = [
  { about: 0.6, over: 1.2, size: 0.42, depth_mm: 1.05, finding: 1 },
  { about: 3.6, over: 0.9, size: 0.3, depth_mm: -0.62, finding: 3 },
  { about: 5.2, over: 2.1, size: 0.22, depth_mm: 0.44, finding: 4 },
];

const ring = (about: number): number => 105 + 18 * Math.cos(2 * about);
const tube = (about: number): number => 34 + 12 * Math.cos(about + 0.4) + 3 * Math.cos(3 * about);

function pointAt(about: number, over: number, out = 0): [number, number, number] {
  const r = tube(about) + out;
  const arm = ring(about) + r * Math.cos(over);
  return [arm * Math.cos(about), arm * Math.sin(about), r * Math.sin(over)];
}

export const outsideOf = (about: number, over: number): [number, number, number] => pointAt(about, over, 0.2);

const apart = (a: number, b: number): number => Math.abs(Math.atan2(Math.sin(a - b), Math.cos(a - b)));

function at(about: number, over: number): { deviation: number; finding: number } {
  let deviation = 0.05 * Math.sin(3 * about) * Math.cos(2 * over) + 0.02 * Math.sin(17 * about + 11 * over);
  let finding = 0;
  if (apart(about, 4.4) < 0.35 && apart(over, 4.9) < 0.7) return { deviation: NaN, finding: 5 };
  for (const patch of patches) {
    const d = Math.hypot(apart(about, patch.about), 0.6 * apart(over, patch.over)) / patch.size;
    if (d < 1) deviation += patch.depth_mm * (1 - d * d) ** 2;
    if (d < 0.75) finding = patch.finding;
  }
  if (Math.abs(Math.sin(over)) < 0.05 && Math.cos(over) > 0 && apart(about, 2.2) < 0.5) deviation += 0.35;
  return { deviation, finding };
}

export function inventedCore(around: number, overs: number): InventedCore {
  const V = around * overs;
  const T = 2 * V;
  const blob = Buffer.alloc(12 + 18 * V + 12 * T);
  blob.write('BFS1', 0, 'latin1');
  blob.writeUInt32LE(V, 4);
  blob.writeUInt32LE(T, 8);
  let p = 12, i = 12 + 12 * V;
  let d = i + 12 * T, f = d + 4 * V;
  for (let a = 0; a < around; a++) {
    for (let o = 0; o < overs; o++) {
      const [about, over] = [(2 * Math.PI * a) / around, (2 * Math.PI * o) / overs];
      for (const part of pointAt(about, over)) p = blob.writeFloatLE(part, p);
      const here = at(about, over);
      d = blob.writeFloatLE(here.deviation, d);
      f = blob.writeUInt16LE(here.finding, f);
      const [v, right] = [a * overs + o, ((a + 1) % around) * overs + o];
      const [up, both] = [a * overs + ((o + 1) % overs), ((a + 1) % around) * overs + ((o + 1) % overs)];
      for (const corner of [v, right, both, v, both, up]) i = blob.writeUInt32LE(corner, i);
    }
  }
  return { blob, section: sectionAtParting(), findings: findings() };
}

function sectionAtParting(): Section {
  const line = (over: number, strayed: boolean) => ({
    closed: true,
    points_mm: Array.from({ length: 360 }, (_, k) => {
      const about = (2 * Math.PI * k) / 360;
      if (strayed && over === 0 && about > 5.5 && about < 5.8) return [null, null];
      const out = strayed ? at(about, over).deviation + 0.25 * Math.cos(about - 0.6) * Math.cos(over) : 0;
      return pointAt(about, over, out).slice(0, 2);
    }),
  });
  return { design: [line(0, false), line(Math.PI, false)], measured: [line(0, true), line(Math.PI, true)] };
}

function findings(): Finding[] {
  const place = (finding: number): number[] => {
    const patch = patches.find((one) => one.finding === finding)!;
    return pointAt(patch.about, patch.over);
  };
  return [
    { kind: 'wear', severity: 'hold', where_mm: place(1), area_mm2: 2140, depth_mm: 1.04, volume_mm3: 912, u95_mm: 0.06, limit_mm: 0.3,
      text: 'The upper half is worn 1.04 mm deep beside the blow tube; build the spot up and dress it to the template.' },
    { kind: 'mismatch', severity: 'watch', where_mm: [105, 0, 0], area_mm2: 0, depth_mm: 0.42, volume_mm3: 0, u95_mm: 0.05, limit_mm: 0.4,
      text: 'The halves stood 0.42 mm out of line along x; look at the pins and bushes of both dowels.' },
    { kind: 'build-up', severity: 'watch', where_mm: place(3), area_mm2: 980, depth_mm: -0.61, volume_mm3: -260, u95_mm: 0.07, limit_mm: 0.3,
      text: 'Something sits on the upper half, 0.61 mm thick; clean the spot with the agent used for this binder.' },
    { kind: 'vent-print', severity: 'note', where_mm: place(4), area_mm2: 310, depth_mm: 0.42, volume_mm3: 61, u95_mm: 0.08, limit_mm: 0.3,
      text: 'The vent V3 stands 0.42 mm below the wall; seat it flush.' },
    { kind: 'unseen', severity: 'note', where_mm: pointAt(4.4, 4.9), area_mm2: 3900, depth_mm: 0, volume_mm3: 0, u95_mm: 0,
      text: 'The scanner did not see the underside here; nothing is said of it.' },
  ];
}
