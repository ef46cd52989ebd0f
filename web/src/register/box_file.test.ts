import { describe, expect, it } from 'vitest';
import { particularsOf } from './box_file';

describe('a box file picked for the form', () => {
  it('fills number, name, process, material and limits', () => {
    expect(particularsOf('[box]\nid = "TM-0412"   # number\nname = "Pump volute core"\nprocess = "cold-box"\n[limits]\nmismatch_mm = 0.40\n')).toEqual({
      id: 'TM-0412', name: 'Pump volute core', process: 'cold-box', mismatch_mm: '0.40',
    });
  });
  it('takes nothing from the dowels, which have ids of their own', () => {
    expect(particularsOf('[box]\nid = "A"\n[[dowel]]\nid = "D1"\n')).toEqual({ id: 'A' });
  });
});
