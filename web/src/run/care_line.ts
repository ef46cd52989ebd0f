// How a care stands, in words and as a state, a while after it was asked for. The clock of a run stands still while
// the run is paused.
import type { Care, OpenRun } from '../api/types';
import { t } from '../texts/texts';

export const standsStill = (run: OpenRun): boolean => run.phase === 'paused' || run.paused_why !== '';

export function span(minutes: number): string {
  const whole = Math.max(0, Math.round(minutes));
  return t.run.hoursMinutes(Math.floor(whole / 60), whole % 60);
}

// What is left of the minutes by now.
export const minutesLeft = (care: Care, passed: number): number | undefined =>
  care.minutes_left === undefined ? undefined : care.minutes_left - passed;

// A care that was not due when it was fetched falls due on the page by its own clock; the steps after that (overdue,
// stops the work) the service tells.
export function standing(care: Care, passed: number): Care['standing'] {
  const left = minutesLeft(care, passed);
  return care.standing === 'not-yet' && left !== undefined && left <= 0 ? 'due' : care.standing;
}

// The countdowns of a care, the shortest first in its own kind: "in 12 min", "3 shots late".
export function countdowns(care: Care, passed: number): string[] {
  const lines: string[] = [];
  const left = minutesLeft(care, passed);
  if (left !== undefined) lines.push(left > 0 ? t.run.leftMinutes(span(left)) : t.run.lateMinutes(span(-left)));
  if (care.shots_left !== undefined) lines.push(care.shots_left > 0 ? t.run.leftShots(care.shots_left) : t.run.lateShots(-care.shots_left));
  if (care.days_left !== undefined) {
    const days = Math.round(care.days_left);
    lines.push(care.days_left > 0 ? t.run.leftDays(days) : t.run.lateDays(-days));
  }
  return lines;
}
