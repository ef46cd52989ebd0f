import { describe, expect, it } from 'vitest';
import type { Evidence } from '../api/types';
import { chanceWord } from './chance_words';
import { evidenceGroups, signOf } from './evidence_groups';

const told = (finding: string, seen: boolean, entry: number, checkpoint = false): Evidence => ({
  finding, called: finding, checkpoint, seen, entry, by: checkpoint ? 'inspection' : 'core', text: `${finding} ${entry}`, at: '2026-11-23T06:00:00Z',
});

describe('evidence', () => {
  it('stands once for each finding, newest telling shown, what is wrong first', () => {
    const groups = evidenceGroups([told('fin', true, 3), told('vents', false, 5, true), told('fin', true, 7), told('sticking', true, 4)]);
    expect(groups.map((one) => [one.newest.finding, one.newest.entry, one.before])).toEqual([['fin', 7, 1], ['sticking', 4, 0], ['vents', 5, 0]]);
  });
  it('of a checkpoint passes or fails, of a core is there or not', () => {
    expect([told('vents', true, 1, true), told('vents', false, 1, true), told('fin', true, 1), told('fin', false, 1)].map(signOf))
      .toEqual(['failed', 'passed', 'seen', 'absent']);
  });
});

describe('a chance in words', () => {
  it('never sounds surer for a smaller chance', () => {
    const order = ['unlikely', 'possible', 'likely', 'almost'];
    const ranks = Array.from({ length: 101 }, (_, i) => order.indexOf(chanceWord(i / 100)));
    expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
    expect(new Set(ranks).size).toBe(4);
  });
});
