import { expect, test } from 'vitest';
import type { ToolRoomPlan } from '../api/types';
import { partsInWords, whyLate } from './words';

const run: ToolRoomPlan['runs'][number] = {
  box: 'TM-0424', box_name: 'Axle tube core', plan: 'TM-0424/P1', order: 'O-2279', start: '2026-11-28T06:00:00Z', quantity: 600,
  importance: 2, late: true, hours_late: 4,
};
const work = { job: 'TM-0424/J1', box: 'TM-0424', box_name: 'Axle tube core', what: 'Renew bushes', skill: 'fitting', hours: 4, parts: [], run_open: false };

test('a late run names the job it waits for and what that job waits for', () => {
  const by = { job: 'TM-0424/J1', fitter: 'Oskar', other: 'BUSH-12', until: '2026-11-28T06:00:00Z' };
  expect(whyLate({ ...run, held_up: { ...by, why: 'spare' } })[0]).toContain('spare BUSH-12');
  const busy = whyLate({ ...run, held_up: { ...by, other: 'TM-0387/J1', why: 'fitter' } })[0];
  expect(busy).toContain('waits for Oskar');
  expect(busy).toContain('TM-0387/J1');
  expect(whyLate({ ...run, held_up: { ...by, other: '', why: 'work' } })[0]).toContain('TM-0424/J1');
});

test('a run that never gets ready says what is missing and what to do', () => {
  const said = whyLate({ ...run, never: { ...work, why: 'no-fitter', lacks: 'welding' } });
  expect(said[0]).toContain('nobody here does welding');
  expect(said).toHaveLength(2);
});

test('a run in time needs no reason', () => {
  expect(whyLate({ ...run, late: false, hours_late: 0 })).toEqual([]);
});

test('parts are counted by name', () => {
  expect(partsInWords([{ spare: 'PIN-12-H', count: 2 }, { spare: 'SEAL-8', count: 1 }])).toBe('2 × PIN-12-H, 1 × SEAL-8');
});
