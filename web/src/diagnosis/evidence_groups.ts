// Evidence as it is read: one line for each finding, the newest telling first, what is wrong before what is sound.
import type { Evidence } from '../api/types';

export interface EvidenceGroup {
  newest: Evidence;
  before: number; // how often the same was told before
}

export function evidenceGroups(evidence: readonly Evidence[]): EvidenceGroup[] {
  const groups = new Map<string, EvidenceGroup>();
  // Oldest entry first, as the service tells it: the last one of a finding stays.
  for (const one of evidence) {
    const known = groups.get(one.finding);
    groups.set(one.finding, { newest: one, before: known ? known.before + 1 : 0 });
  }
  return [...groups.values()].sort((a, b) => Number(b.newest.seen) - Number(a.newest.seen) || b.newest.entry - a.newest.entry);
}

export function signOf(one: { checkpoint: boolean; seen: boolean }): 'seen' | 'absent' | 'failed' | 'passed' {
  if (one.checkpoint) return one.seen ? 'failed' : 'passed';
  return one.seen ? 'seen' : 'absent';
}
