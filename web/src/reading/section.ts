// The section drawing: how far the measured outline strays from the design's, drawn so many times larger.
import type { Polyline, Section } from '../api/types';

type Point = [number, number];

// A measured point with the place of the design outline it is measured from.
export interface Strayed {
  foot: Point;
  at: Point;
  stray_mm: number; // positive = outside the core
}

export interface SectionDrawing {
  design: string; // path data, y up turned to y down
  outside: string; // measured line where it lies outside
  inside: string;
  outsideArea: string; // between design and measured
  insideArea: string;
  box: { x: number; y: number; width: number; height: number };
  worst: { at: Point; stray_mm: number } | null;
}

// The stretches of the measured lines that were seen, each point with its foot on the design. The service moves the
// design's own points, so line for line and point for point they belong together; measured lines of another count are
// matched by nearness instead.
export function strayedLines(section: Section): Strayed[][] {
  const outlines = section.design.map(toldPoints);
  const paired =
    section.design.length === section.measured.length &&
    outlines.every((own, i) => own.length === section.measured[i]!.points_mm.length);
  return section.measured.flatMap((line, i) => {
    const stretches: Strayed[][] = [[]];
    closedPoints(line).forEach((at, k) => {
      if (at === null) return void stretches.push([]);
      const own = outlines[i];
      const foot = paired && own ? own[k % own.length]! : nearestFoot(at, outlines);
      const size = Math.hypot(at[0] - foot[0], at[1] - foot[1]);
      stretches.at(-1)!.push({ foot, at, stray_mm: insideCore(at, outlines) ? -size : size });
    });
    return stretches.filter((stretch) => stretch.length > 0);
  });
}

export function hasUnseen(section: Section): boolean {
  return section.measured.some((line) => line.points_mm.some((point) => asPoint(point) === null));
}

export function drawSection(section: Section, lines: Strayed[][], factor: number): SectionDrawing {
  const drawn = lines.map((line) => line.map((one) => ({ ...one, at: larger(one, factor) })));
  const everything = [...drawn.flat().map((one) => one.at), ...section.design.flatMap(toldPoints)];
  const worst = drawn.flat().reduce<Strayed | null>(
    (most, one) => (most === null || Math.abs(one.stray_mm) > Math.abs(most.stray_mm) ? one : most), null);
  return {
    design: section.design.map(pathOf).join(''),
    outside: runs(drawn, 1),
    inside: runs(drawn, -1),
    outsideArea: areas(drawn, 1),
    insideArea: areas(drawn, -1),
    box: boxAround(everything),
    worst: worst && { at: flipped(worst.at), stray_mm: worst.stray_mm },
  };
}

function asPoint([x, y]: readonly (number | null)[]): Point | null {
  return typeof x === 'number' && typeof y === 'number' ? [x, y] : null;
}
const toldPoints = (line: Polyline): Point[] => line.points_mm.map(asPoint).filter((point) => point !== null);
const flipped = ([x, y]: Point): Point => [x, -y];
const written = ([x, y]: Point): string => `${x.toFixed(2)} ${(-y).toFixed(2)}`;

function closedPoints(line: Polyline): (Point | null)[] {
  const points = line.points_mm.map(asPoint);
  return line.closed && points.length > 2 ? [...points, points[0]!] : points;
}

function pathOf(line: Polyline): string {
  const points = toldPoints(line).map(written);
  return points.length === 0 ? '' : `M${points.join('L')}${line.closed ? 'Z' : ''}`;
}

function larger({ foot, at }: Strayed, factor: number): Point {
  return [foot[0] + factor * (at[0] - foot[0]), foot[1] + factor * (at[1] - foot[1])];
}

// The stretches of the measured line that lie on one side, each one unbroken line: a dash pattern must run through.
function runs(lines: Strayed[][], side: 1 | -1): string {
  let path = '';
  for (const line of lines) {
    let drawing = false;
    for (let i = 1; i < line.length; i++) {
      const [from, to] = [line[i - 1]!, line[i]!];
      const here = sideOf(from, to) === side;
      if (here && !drawing) path += `M${written(from.at)}`;
      if (here) path += `L${written(to.at)}`;
      drawing = here;
    }
  }
  return path;
}

function areas(lines: Strayed[][], side: 1 | -1): string {
  let path = '';
  for (const line of lines) {
    for (let i = 1; i < line.length; i++) {
      const [from, to] = [line[i - 1]!, line[i]!];
      if (sideOf(from, to) === side) path += `M${written(from.foot)}L${written(from.at)}L${written(to.at)}L${written(to.foot)}Z`;
    }
  }
  return path;
}

const sideOf = (from: Strayed, to: Strayed): 1 | -1 => (from.stray_mm + to.stray_mm < 0 ? -1 : 1);

function nearestFoot(at: Point, outlines: readonly Point[][]): Point {
  let foot: Point = at;
  let best = Infinity;
  for (const points of outlines) {
    for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
      const candidate = footOnSegment(at, points[j]!, points[i]!);
      const distance = Math.hypot(at[0] - candidate[0], at[1] - candidate[1]);
      if (distance < best) [best, foot] = [distance, candidate];
    }
  }
  return foot;
}

function footOnSegment(at: Point, from: Point, to: Point): Point {
  const [ux, uy] = [to[0] - from[0], to[1] - from[1]];
  const length2 = ux * ux + uy * uy;
  const share = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((at[0] - from[0]) * ux + (at[1] - from[1]) * uy) / length2));
  return [from[0] + share * ux, from[1] + share * uy];
}

// Even-odd: holes in the core's section are outlines inside outlines.
function insideCore([x, y]: Point, outlines: readonly Point[][]): boolean {
  let inside = false;
  for (const points of outlines) {
    for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
      const [xi, yi] = points[i]!;
      const [xj, yj] = points[j]!;
      if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
    }
  }
  return inside;
}

function boxAround(points: readonly Point[]): SectionDrawing['box'] {
  let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const [x, y] of points) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    low = Math.min(low, y);
    high = Math.max(high, y);
  }
  if (left > right) return { x: 0, y: 0, width: 1, height: 1 };
  const margin = 0.04 * Math.max(right - left, high - low, 1);
  return { x: left - margin, y: -high - margin, width: right - left + 2 * margin, height: high - low + 2 * margin };
}

// A round length for the scale bar, about a quarter of the drawing's width.
export function barLength(width_mm: number): number {
  const wanted = width_mm / 4;
  const power = 10 ** Math.floor(Math.log10(wanted));
  return ([5, 2, 1].find((one) => one * power <= wanted) ?? 1) * power;
}
