// Where on the page one is. Kept in the address's fragment, so that the service serves one file and links can be kept.
export type Route =
  | { screen: 'floor' }
  | { screen: 'move'; label?: string }
  | { screen: 'stock-take' }
  | { screen: 'checkpoints' }
  | { screen: 'care'; box?: string }
  | { screen: 'register'; box?: string }
  | { screen: 'tool-room' }
  | { screen: 'notices' }
  | { screen: 'box'; box: string; entry?: number }
  | { screen: 'inspect'; box: string; only?: string }
  | { screen: 'diagnosis'; box: string }
  | { screen: 'run'; box: string }
  | { screen: 'defect'; box: string }
  | { screen: 'hold'; box: string }
  | { screen: 'trace'; box: string }
  | { screen: 'scan'; box: string }
  | { screen: 'closing'; box: string; part?: 'wear' }
  | { screen: 'air'; box: string }
  | { screen: 'measure'; box: string; of?: string; unit?: string }
  | { screen: 'reading'; box: string; reading: string };

export function routeOf(fragment: string): Route {
  const parts = fragment.replace(/^#?\/?/, '').split('/').map(decoded);
  const [first, box, third, fourth, fifth] = parts;
  if (first === 'move') return { screen: 'move', ...(box && { label: box }) };
  if (first === 'care') return { screen: 'care' };
  if (first === 'register') return { screen: 'register' };
  if (first === 'stock-take' || first === 'checkpoints' || first === 'tool-room' || first === 'notices') return { screen: first };
  if (first !== 'box' || !box) return { screen: 'floor' };
  if (third === 'register' || third === 'care') return { screen: third, box };
  if (third === 'inspect') return { screen: 'inspect', box, ...(fourth && { only: fourth }) };
  if (third === 'diagnosis' || third === 'run' || third === 'defect' || third === 'hold' || third === 'trace') return { screen: third, box };
  if (third === 'scan') return { screen: 'scan', box };
  if (third === 'closing') return { screen: 'closing', box, ...(fourth === 'wear' && { part: fourth }) };
  if (third === 'air') return { screen: 'air', box };
  if (third === 'measure') return { screen: 'measure', box, ...(fourth && { of: fourth }), ...(fifth && { unit: fifth }) };
  if (third === 'reading' && fourth) return { screen: 'reading', box, reading: fourth };
  if (third === 'entry' && /^\d{1,15}$/.test(fourth ?? '')) return { screen: 'box', box, entry: Number(fourth) };
  return { screen: 'box', box };
}

// A hand-typed address may hold a lone percent sign.
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

const to = (...parts: string[]): string => '#/' + parts.map(encodeURIComponent).join('/');

export const links = {
  floor: (): string => '#/',
  notices: (): string => to('notices'),
  toolRoom: (): string => to('tool-room'),
  box: (box: string): string => to('box', box),
  entry: (box: string, seq: number): string => to('box', box, 'entry', String(seq)),
  inspect: (box: string, ...only: [] | [checkpoint: string]): string => to('box', box, 'inspect', ...only),
  diagnosis: (box: string): string => to('box', box, 'diagnosis'),
  run: (box: string): string => to('box', box, 'run'),
  defect: (box: string): string => to('box', box, 'defect'),
  hold: (box: string): string => to('box', box, 'hold'),
  trace: (box: string): string => to('box', box, 'trace'),
  move: (...label: [] | [string]): string => to('move', ...label),
  stockTake: (): string => to('stock-take'),
  checkpoints: (): string => to('checkpoints'),
  care: (...box: [] | [string]): string => (box.length > 0 ? to('box', ...box, 'care') : to('care')),
  register: (...box: [] | [string]): string => (box.length > 0 ? to('box', ...box, 'register') : to('register')),
  scan: (box: string): string => to('box', box, 'scan'),
  closing: (box: string): string => to('box', box, 'closing'),
  wear: (box: string): string => to('box', box, 'closing', 'wear'),
  air: (box: string): string => to('box', box, 'air'),
  measure: (box: string, ...ofAndUnit: [] | [of: string] | [of: string, unit: string]): string => to('box', box, 'measure', ...ofAndUnit),
  reading: (box: string, reading: string): string => to('box', box, 'reading', reading),
};
