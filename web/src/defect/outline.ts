// Outlines in millimetres laid into a picture 1000 wide, x to the right and y upward, with a margin all round so that
// a place beside the core (a fin, a broken-off piece) can be pointed at too.
import type { Polyline } from '../api/types';

export interface Outline {
  path: string; // empty without an outline
  aspect: number; // width over height of the picture
}

const margin = 0.08;
const wide = 1000;

export function outlinePath(outlines: readonly Polyline[]): Outline {
  const points = outlines.flatMap((one) => one.points_mm).filter((p): p is [number, number] => p[0] !== null && p[1] !== null);
  if (points.length === 0) return { path: '', aspect: 4 / 3 };
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [low, high] = [Math.min(...ys), Math.max(...ys)];
  const room = margin * Math.max(right - left, high - low, 1e-9);
  const width = right - left + 2 * room;
  const height = high - low + 2 * room;
  const scale = wide / width;
  const at = ([x, y]: [number, number]): string => `${((x - left + room) * scale).toFixed(1)} ${((high - y + room) * scale).toFixed(1)}`;
  const path = outlines
    .map((one) => one.points_mm.filter((p): p is [number, number] => p[0] !== null && p[1] !== null))
    .filter((line) => line.length > 1)
    .map((line) => `M${line.map(at).join('L')}Z`)
    .join('');
  // A core much longer than wide would make a picture nobody can touch: it is given more room instead.
  return { path, aspect: Math.min(3, Math.max(0.5, width / height)) };
}
