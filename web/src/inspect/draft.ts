// An inspection that is under way: answers so far, kept on the device so that a dead battery or a closed page loses
// nothing, and the request id that makes sending twice write once.
import type { Checkpoint, InspectionRequest, InspectionResult } from '../api/types';

export interface Answer {
  passed: boolean | null; // null: still open
  value: string; // as typed
  remark: string;
  photo?: string; // as the service keeps it
}

export interface Draft {
  version: number; // of the checkpoint catalogue it answers
  answers: Record<string, Answer>;
  at: number; // which checkpoint is open
  sent: { request: string; content: string } | null; // what was last tried to send
}

export const noAnswer: Answer = { passed: null, value: '', remark: '' };

export const wantsValue = (checkpoint: Checkpoint): boolean =>
  checkpoint.evidence === 'measure' || checkpoint.evidence === 'count';

// The number a person or a gauge typed: a point or a comma, nothing else. Null when it is not a number.
export function measuredValue(typed: string): number | null {
  const text = typed.trim().replace(',', '.').replace('\u2212', '-');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : null;
}

export type ValueFault = 'missing' | 'not-a-number' | 'not-whole' | null;
export function valueFault(checkpoint: Checkpoint, answer: Answer): ValueFault {
  if (!wantsValue(checkpoint)) return null;
  if (answer.value.trim() === '') return 'missing';
  const value = measuredValue(answer.value);
  if (value === null) return 'not-a-number';
  return checkpoint.evidence === 'count' && !(Number.isInteger(value) && value >= 0) ? 'not-whole' : null;
}

export function isAnswered(checkpoint: Checkpoint, answer: Answer): boolean {
  return answer.passed !== null && valueFault(checkpoint, answer) === null;
}

export function resultsOf(checkpoints: readonly Checkpoint[], answers: Record<string, Answer>): InspectionResult[] {
  return checkpoints.map((checkpoint) => {
    const answer = answers[checkpoint.id] ?? noAnswer;
    const result: InspectionResult = { checkpoint: checkpoint.id, passed: answer.passed === true };
    const measured = wantsValue(checkpoint) ? measuredValue(answer.value) : null;
    if (measured !== null) result.measured = measured;
    if (answer.remark.trim() !== '') result.remark = answer.remark.trim();
    if (answer.photo) result.photo = answer.photo;
    return result;
  });
}

// The same answers sent again carry the same id, so the service writes them once. Answers changed since the last try
// are another inspection and get another id: the first may have arrived.
export function requestFor(draft: Draft, results: InspectionResult[], newId: () => string): InspectionRequest {
  const content = JSON.stringify(results);
  if (draft.sent?.content !== content) draft.sent = { request: newId(), content };
  return { request: draft.sent.request, results };
}

const key = (box: string): string => `boxfettle.inspection.${box}`;

export function hasDraft(box: string): boolean {
  return readText(key(box)) !== null;
}

export function emptyDraft(version: number): Draft {
  return { version, answers: {}, at: 0, sent: null };
}

// A draft that answers another catalogue's version is not gone on with.
export function keptDraft(box: string, version: number): Draft {
  const text = readText(key(box));
  if (text !== null) {
    try {
      const draft = JSON.parse(text) as Draft;
      if (draft.version === version) return draft;
    } catch {
      // Written by something else; begin afresh.
    }
  }
  return emptyDraft(version);
}

export function keepDraft(box: string, draft: Draft): void {
  try {
    localStorage.setItem(key(box), JSON.stringify(draft));
  } catch {
    // Storage closed or full: the draft lives as long as the page.
  }
}

export function dropDraft(box: string): void {
  try {
    localStorage.removeItem(key(box));
  } catch {
    // Nothing was kept either.
  }
}

function readText(name: string): string | null {
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
}
