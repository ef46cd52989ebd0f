// Why a run is late and why a job is not planned, in sentences.
import type { ToolRoomPlan } from '../api/types';
import { shortDay, t } from '../texts/texts';

type Run = ToolRoomPlan['runs'][number];
type NotPlanned = ToolRoomPlan['not_planned'][number];

export function whyLate(run: Run): string[] {
  if (run.never) return [whyNotPlanned(run.never), t.toolroom.mend[run.never.why]];
  if (!run.held_up) return [];
  const { job, why, fitter, other, until } = run.held_up;
  const when = until ? shortDay(until) : '';
  const words = t.toolroom.heldUp;
  if (why === 'fitter') return [words.fitter(job, fitter, other, when)];
  if (why === 'spare') return [words.spare(job, other, when)];
  if (why === 'box-in-use') return [words['box-in-use'](job, when)];
  return [words.work(job)];
}

export const whyNotPlanned = (job: NotPlanned): string => t.toolroom.lacks[job.why](job.job, job.lacks);

export const partsInWords = (parts: { spare: string; count: number }[]): string =>
  parts.map(({ spare, count }) => `${count} × ${spare}`).join(', ');
