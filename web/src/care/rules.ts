// The care rules while somebody edits them: counts as they are typed, empty where nothing is counted.
import type { CareRule } from '../api/types';

export const counts = ['every_minutes', 'every_shots', 'every_days', 'grace_minutes', 'stop_after_minutes'] as const;
export type Count = (typeof counts)[number];

export interface Draft {
  id: string;
  title: string;
  how: string;
  caution: string;
  each_core: boolean;
  typed: Record<Count, string>;
}

export function draftOf(rule: CareRule): Draft {
  const typed = Object.fromEntries(counts.map((count) => [count, rule[count] ? String(rule[count]) : ''])) as Record<Count, string>;
  return { id: rule.id, title: rule.title, how: rule.how ?? '', caution: rule.caution ?? '', each_core: rule.each_core ?? false, typed };
}

// The next free id: what a care is called in the logbook does not change when its title does.
export function newDraft(known: Draft[]): Draft {
  let n = known.length + 1;
  while (known.some((one) => one.id === `care-${n}`)) n++;
  return draftOf({ id: `care-${n}`, title: '' });
}

// Empty counts as not counted; null when it is no whole number.
export function typedCount(text: string): number | null {
  const trimmed = text.trim();
  if (trimmed === '') return 0;
  return /^\d{1,7}$/.test(trimmed) ? Number(trimmed) : null;
}

// Null when a count is no whole number or a title is missing.
export function ruleOf(draft: Draft): CareRule | null {
  if (draft.title.trim() === '') return null;
  const rule: CareRule = { id: draft.id, title: draft.title.trim(), how: draft.how.trim(), caution: draft.caution.trim(), each_core: draft.each_core };
  for (const count of counts) {
    const value = typedCount(draft.typed[count]);
    if (value === null) return null;
    rule[count] = draft.each_core ? 0 : value;
  }
  return rule;
}
