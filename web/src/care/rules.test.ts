import { describe, expect, it } from 'vitest';
import { draftOf, newDraft, ruleOf, typedCount } from './rules';

const vents = {
  id: 'vents', title: 'Clean the vents', how: 'Brush', caution: 'Eye protection', each_core: false,
  every_minutes: 60, every_shots: 0, every_days: 0, grace_minutes: 10, stop_after_minutes: 60,
};

describe('care rules while they are edited', () => {
  it('come back as they were when nothing is changed', () => {
    expect(ruleOf(draftOf(vents))).toEqual(vents);
  });
  it('count nothing where nothing is typed, and refuse what is no count', () => {
    expect(typedCount(' ')).toBe(0);
    expect(typedCount('45')).toBe(45);
    for (const text of ['-5', '1.5', 'hourly', '1e3']) expect(typedCount(text), text).toBeNull();
    const draft = draftOf(vents);
    draft.typed.every_minutes = 'hourly';
    expect(ruleOf(draft)).toBeNull();
  });
  it('drop the clocks of what is done with each core', () => {
    expect(ruleOf({ ...draftOf(vents), each_core: true })).toMatchObject({ each_core: true, every_minutes: 0, stop_after_minutes: 0 });
  });
  it('give a new one an id that no other has, and want a title for it', () => {
    const known = [draftOf(vents), draftOf({ id: 'care-3', title: 'Wipe the pins' })];
    expect(newDraft(known).id).toBe('care-4');
    expect(ruleOf(newDraft(known))).toBeNull();
  });
});
