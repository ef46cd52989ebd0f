// The design surface of a reading as the service sends it (BFS1, laid down in src/service/openapi.yaml), opened in place:
// the arrays look into the bytes that came, nothing is copied but what must lose its NaNs.
export interface Surface {
  positions: Float32Array; // x, y, z of each vertex, design mm
  triangles: Uint32Array; // three vertices each
  deviation: Float32Array; // mm, 0 where unseen
  seen: Uint8Array; // 255 seen, 0 unseen
  finding: Uint16Array; // which finding a vertex lies in, counted from 1; 0 none
}

export class BadSurface extends Error {}

const HEADER = 12;

export function openSurface(bytes: ArrayBuffer): Surface {
  if (bytes.byteLength < HEADER) throw new BadSurface('shorter than its header');
  const head = new DataView(bytes);
  if (head.getUint32(0, false) !== 0x42465331) throw new BadSurface('does not begin with BFS1');
  const vertices = head.getUint32(4, true);
  const triangles = head.getUint32(8, true);
  const size = HEADER + vertices * (12 + 4 + 2) + triangles * 12;
  if (bytes.byteLength !== size) throw new BadSurface(`${bytes.byteLength} bytes where ${size} belong`);

  let at = HEADER;
  const positions = new Float32Array(bytes, at, 3 * vertices);
  const indices = new Uint32Array(bytes, (at += 12 * vertices), 3 * triangles);
  const raw = new Float32Array(bytes, (at += 12 * triangles), vertices);
  const finding = new Uint16Array(bytes, (at += 4 * vertices), vertices);
  for (let i = 0; i < indices.length; i++) {
    if (indices[i]! >= vertices) throw new BadSurface(`triangle ${Math.floor(i / 3)} asks for a vertex that is not there`);
  }
  return { positions, triangles: indices, finding, ...withoutNaN(raw) };
}

// A NaN in a vertex attribute spoils every pixel of its triangles; so unseen becomes 0 with a flag beside it.
function withoutNaN(raw: Float32Array): Pick<Surface, 'deviation' | 'seen'> {
  const deviation = new Float32Array(raw.length);
  const seen = new Uint8Array(raw.length);
  for (let v = 0; v < raw.length; v++) {
    const value = raw[v]!;
    if (!Number.isFinite(value)) continue;
    deviation[v] = value;
    seen[v] = 255;
  }
  return { deviation, seen };
}

// The size that all but a share of the seen vertices stay under, either way. By counting, not sorting: the surface
// may hold a quarter of a million vertices.
export function usualSize(surface: Surface, share = 0.995): number {
  let largest = 0;
  let count = 0;
  for (let v = 0; v < surface.deviation.length; v++) {
    if (!surface.seen[v]) continue;
    count++;
    largest = Math.max(largest, Math.abs(surface.deviation[v]!));
  }
  if (count === 0 || largest === 0) return 0;
  const bins = new Uint32Array(1000);
  for (let v = 0; v < surface.deviation.length; v++) {
    if (!surface.seen[v]) continue;
    bins[Math.min(999, Math.floor((1000 * Math.abs(surface.deviation[v]!)) / largest))]!++;
  }
  let under = 0;
  for (let bin = 0; bin < 1000; bin++) {
    under += bins[bin]!;
    if (under >= share * count) return ((bin + 1) / 1000) * largest;
  }
  return largest;
}
