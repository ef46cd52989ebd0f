import { describe, expect, it } from 'vitest';
import type { FloorBox } from '../api/types';
import { boxesMatching } from './find';

const box = (id: string, name: string, place: string, reason = ''): FloorBox => ({
  id,
  name,
  place: { kind: 'bay', text: place },
  verdict: { state: 'hold', reasons: reason ? [{ state: 'hold', text: reason, entry: 1 }] : [] },
});
const floor = [
  box('TM-0412', 'Pump volute core', 'Rack B, bay 3', 'Handle loose on the upper half'),
  box('TM-0427', 'Ribbed jacket core', 'Station 2'),
  box('TM-0455', 'Kühlkanal', 'Rack A, bay 1'),
];
const found = (words: string): string[] => boxesMatching(floor, words).map((one) => one.id);

describe('the find field', () => {
  it('shows every box when it is empty or holds only spaces', () => {
    expect(found('')).toHaveLength(3);
    expect(found('   ')).toHaveLength(3);
  });
  it('finds a box by its number, with or without the hyphen, or by the last digits', () => {
    expect(found('TM-0427')).toEqual(['TM-0427']);
    expect(found('tm0427')).toEqual(['TM-0427']);
    expect(found('412')).toEqual(['TM-0412']);
  });
  it('finds a box by where it stands and by why it is held', () => {
    expect(found('station')).toEqual(['TM-0427']);
    expect(found('handle')).toEqual(['TM-0412']);
  });
  it('wants every word, in any order', () => {
    expect(found('bay volute')).toEqual(['TM-0412']);
    expect(found('bay jacket')).toEqual([]);
  });
  it('does not mind an umlaut typed without its dots', () => {
    expect(found('kuhlkanal')).toEqual(['TM-0455']);
  });
});
