// The cavity of a study as the service sends it (BFA1, laid down in src/service/openapi.yaml), opened in place.
export interface Cavity {
  positions: Float32Array; // x, y, z of each vertex, design mm
  triangles: Uint32Array; // three vertices each
  cells: [number, number, number];
  low_mm: [number, number, number];
  cell_mm: number;
  age: AgeRange; // what codes 0 and 255 stand for
  codes: Uint8Array; // four of each cell, x fastest: age, part inside, fills at, pocket
}

export interface AgeRange {
  low_s: number;
  high_s: number;
}

export class BadCavity extends Error {}

const HEADER = 48;

export function openCavity(bytes: ArrayBuffer): Cavity {
  if (bytes.byteLength < HEADER) throw new BadCavity('shorter than its header');
  const head = new DataView(bytes);
  if (head.getUint32(0, false) !== 0x42464131) throw new BadCavity('does not begin with BFA1');
  const whole = (at: number): number => head.getUint32(at, true);
  const real = (at: number): number => head.getFloat32(at, true);
  const [vertices, triangles] = [whole(4), whole(8)];
  const cells: Cavity['cells'] = [whole(12), whole(16), whole(20)];
  const count = cells[0] * cells[1] * cells[2];
  const size = HEADER + 12 * vertices + 12 * triangles + 4 * count;
  if (bytes.byteLength !== size) throw new BadCavity(`${bytes.byteLength} bytes where ${size} belong`);
  const indices = new Uint32Array(bytes, HEADER + 12 * vertices, 3 * triangles);
  if (indices.some((index) => index >= vertices)) throw new BadCavity('a triangle asks for a vertex that is not there');
  const age = { low_s: real(40), high_s: real(44) };
  if (!(age.low_s > 0 && age.high_s > age.low_s)) throw new BadCavity('its ages make no scale');
  return {
    positions: new Float32Array(bytes, HEADER, 3 * vertices),
    triangles: indices,
    cells,
    low_mm: [real(24), real(28), real(32)],
    cell_mm: real(36),
    age,
    codes: new Uint8Array(bytes, HEADER + 12 * vertices + 12 * triangles, 4 * count),
  };
}
