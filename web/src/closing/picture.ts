// The parting face seen from above: where things stand in the drawing, and how large a shift is drawn.
import type { ClosingPage } from '../api/types';
import { colourOf } from '../reading/deviation_colours';

export type Point = [number, number];
export interface View {
  x: number;
  y: number;
  width: number;
  height: number;
}
type Lines = ClosingPage['outlines'];
type Shift = { move_mm: number[]; angle_deg: number };

// y up in the face is y down in a drawing.
const drawn = (at: readonly (number | null)[]): Point => [at[0] ?? 0, -(at[1] ?? 0)];
export const spot = (at: readonly number[]): Point => drawn(at);

function pathThrough(points: readonly Point[]): string {
  return points.length === 0 ? '' : `M${points.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join('L')}Z`;
}

export const outlinePath = (lines: Lines): string => lines.map((line) => pathThrough(line.points_mm.map(drawn))).join('');

// What stood at `at` after the upper half has turned about the face's origin and moved, the way drawn `factor` times.
export function shifted(at: readonly number[], shift: Shift, factor: number): Point {
  const [x, y] = [at[0] ?? 0, at[1] ?? 0];
  const angle = (shift.angle_deg * Math.PI) / 180;
  const [s, c] = [Math.sin(angle), -2 * Math.sin(angle / 2) ** 2];
  return [x + factor * (c * x - s * y + (shift.move_mm[0] ?? 0)), y + factor * (s * x + c * y + (shift.move_mm[1] ?? 0))];
}

export const shiftedPath = (lines: Lines, shift: Shift, factor: number): string =>
  lines.map((line) => pathThrough(line.points_mm.map((at) => drawn(shifted(at as number[], shift, factor))))).join('');

// The factor of a round series that draws the worst shift at about a sixteenth of the face's width.
export function fittingFactor(worst_mm: number, width_mm: number): number {
  if (!(worst_mm > 0)) return 1;
  const wanted = width_mm / 16 / worst_mm;
  return [1000, 500, 200, 100, 50, 20, 10, 5, 2].find((one) => one <= wanted) ?? 1;
}

export function viewOf(page: ClosingPage): View {
  const points = [
    ...page.outlines.flatMap((line) => line.points_mm.map(drawn)),
    ...[...page.dowels, ...page.clamps, ...page.readings].map((one) => drawn(one.at_mm)),
  ];
  if (points.length === 0) return { x: -50, y: -50, width: 100, height: 100 };
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  const [left, right, top, low] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const margin = 0.12 * Math.max(right - left, low - top, 10);
  return { x: left - margin, y: top - margin, width: right - left + 2 * margin, height: low - top + 2 * margin };
}

// The opening: light to dark grey up to the limit, beyond it the colours of deviation outside.
export function gapColour(opening_mm: number, limit_mm: number, largest_mm: number): string {
  if (opening_mm <= limit_mm) {
    const grey = Math.round(246 - 116 * (limit_mm > 0 ? opening_mm / limit_mm : 0));
    return `rgb(${grey} ${grey} ${grey})`;
  }
  const range_mm = Math.max(2 * limit_mm, largest_mm);
  return `rgb(${colourOf(opening_mm, { limit_mm, range_mm }).map((part) => Math.round(255 * part)).join(' ')})`;
}
