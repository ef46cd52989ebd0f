// What a box file says of the box's particulars, read far enough to fill the form: the service reads the whole of it.
export interface Particulars {
  id?: string;
  name?: string;
  process?: string;
  material?: string;
  surface_mm?: string;
  mismatch_mm?: string;
  gap_mm?: string;
  weight_percent?: string;
}

const wanted: Record<string, readonly (keyof Particulars)[]> = {
  box: ['id', 'name', 'process', 'material'],
  limits: ['surface_mm', 'mismatch_mm', 'gap_mm', 'weight_percent'],
};

export function particularsOf(toml: string): Particulars {
  const found: Particulars = {};
  let table = '';
  for (const line of toml.split(/\r?\n/)) {
    const head = /^\s*\[([a-z_]+)\]\s*(#.*)?$/.exec(line);
    if (/^\s*\[/.test(line)) table = head?.[1] ?? '';
    const pair = /^\s*([a-z_A-Z]+)\s*=\s*(?:"([^"\\]*)"|([-+0-9.eE]+))\s*(#.*)?$/.exec(line);
    const key = pair?.[1] as keyof Particulars | undefined;
    if (key && wanted[table]?.includes(key)) found[key] = pair![2] ?? pair![3]!;
  }
  return found;
}
