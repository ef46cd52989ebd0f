// Where the findings lie on the surface: middle, reach, which way each faces, and the line around it.
import type { Surface } from './surface_blob';

export interface FindingPlace {
  middle_mm: [number, number, number];
  reach_mm: number; // from the middle to its farthest corner
  facing: [number, number, number] | null; // unit; null when it faces every way at once
  outline_mm: Float32Array; // pairs of points, one pair a segment
}

// One for each finding, in their order. Null where no vertex carries the finding's number: a mismatch or a gap lies in
// the halves, not in a place. One pass over the surface, however many findings there are.
export function findingPlaces(surface: Surface, findings: number): (FindingPlace | null)[] {
  const gathered = Array.from({ length: findings }, () => new Gathered());
  const { positions, triangles, finding } = surface;
  for (let v = 0; v < finding.length; v++) {
    const n = finding[v]!;
    if (n > 0 && n <= findings) gathered[n - 1]!.vertex(positions, v);
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const i = triangles[t]!, j = triangles[t + 1]!, k = triangles[t + 2]!;
    const a = finding[i]!, b = finding[j]!, c = finding[k]!;
    if (a === 0 && b === 0 && c === 0) continue;
    if (a === b && b === c) {
      if (a <= findings) gathered[a - 1]!.whole(positions, i, j, k);
      continue;
    }
    // On a border: it belongs to each finding it touches, once.
    if (a > 0 && a <= findings) gathered[a - 1]!.border(positions, i, j, k, true, b === a, c === a);
    if (b > 0 && b <= findings && b !== a) gathered[b - 1]!.border(positions, i, j, k, false, true, c === b);
    if (c > 0 && c <= findings && c !== a && c !== b) gathered[c - 1]!.border(positions, i, j, k, false, false, true);
  }
  return gathered.map((one) => one.place());
}

class Gathered {
  private lowX = Infinity;
  private lowY = Infinity;
  private lowZ = Infinity;
  private highX = -Infinity;
  private highY = -Infinity;
  private highZ = -Infinity;
  private areaX = 0;
  private areaY = 0;
  private areaZ = 0;
  private area = 0;
  private readonly outline: number[] = [];

  vertex(p: Float32Array, v: number): void {
    const x = p[3 * v]!, y = p[3 * v + 1]!, z = p[3 * v + 2]!;
    if (x < this.lowX) this.lowX = x;
    if (y < this.lowY) this.lowY = y;
    if (z < this.lowZ) this.lowZ = z;
    if (x > this.highX) this.highX = x;
    if (y > this.highY) this.highY = y;
    if (z > this.highZ) this.highZ = z;
  }
  whole(p: Float32Array, i: number, j: number, k: number): void {
    const ux = p[3 * j]! - p[3 * i]!, uy = p[3 * j + 1]! - p[3 * i + 1]!, uz = p[3 * j + 2]! - p[3 * i + 2]!;
    const vx = p[3 * k]! - p[3 * i]!, vy = p[3 * k + 1]! - p[3 * i + 1]!, vz = p[3 * k + 2]! - p[3 * i + 2]!;
    const x = uy * vz - uz * vy, y = uz * vx - ux * vz, z = ux * vy - uy * vx;
    this.areaX += x;
    this.areaY += y;
    this.areaZ += z;
    this.area += Math.sqrt(x * x + y * y + z * z);
  }
  // The border crosses the two edges that leave the odd corner; at their middles it is as near as the vertices tell.
  border(p: Float32Array, i: number, j: number, k: number, inI: boolean, inJ: boolean, inK: boolean): void {
    if (inI === inJ) this.segment(p, k, i, j);
    else if (inI === inK) this.segment(p, j, k, i);
    else this.segment(p, i, j, k);
  }
  private segment(p: Float32Array, odd: number, one: number, other: number): void {
    for (let c = 0; c < 3; c++) this.outline.push((p[3 * odd + c]! + p[3 * one + c]!) / 2);
    for (let c = 0; c < 3; c++) this.outline.push((p[3 * odd + c]! + p[3 * other + c]!) / 2);
  }
  place(): FindingPlace | null {
    if (this.lowX === Infinity) return null;
    const length = Math.hypot(this.areaX, this.areaY, this.areaZ);
    const faces = length > 0.05 * this.area;
    return {
      middle_mm: [(this.lowX + this.highX) / 2, (this.lowY + this.highY) / 2, (this.lowZ + this.highZ) / 2],
      reach_mm: Math.hypot(this.highX - this.lowX, this.highY - this.lowY, this.highZ - this.lowZ) / 2,
      facing: faces ? [this.areaX / length, this.areaY / length, this.areaZ / length] : null,
      outline_mm: new Float32Array(this.outline),
    };
  }
}
