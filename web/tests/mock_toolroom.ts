// The tool room and the notices in the mock: one plan with every state of the screen, changed by what is told of it.
import type { Notices, ToolRoomPlan } from '../src/api/types';

const hour = (hours: number): string => new Date(Date.UTC(2026, 10, 26, 6) + hours * 3_600_000).toISOString();
type Work = ToolRoomPlan['not_planned'][number];
const work = (job: string, box: string, box_name: string, what: string, skill: string, hours: number) =>
  ({ job, box, box_name, what, skill, hours, parts: [] as { spare: string; count: number }[], run_open: false });
const run = (box: string, box_name: string, start: string, rest: object = {}): ToolRoomPlan['runs'][number] =>
  ({ box, box_name, plan: `${box}/P1`, order: 'O-2281', start, quantity: 400, importance: 1, late: false, hours_late: 0, ready: hour(5), ...rest });

const unplanned: Work = { ...work('TM-0455/J2', 'TM-0455', 'Stepped valve body core', 'Weld up the worn boss', 'welding', 5), why: 'no-fitter', lacks: 'welding' };

export class MockToolRoom {
  private readonly plan: ToolRoomPlan = {
    at: hour(0),
    fitters: [
      { fitter: 'Yusuf', skills: ['fitting', 'machining'], jobs: [
        { ...work('TM-0412/J1', 'TM-0412', 'Pump volute core', 'Polish a scratch out of the tongue', 'fitting', 2), start: hour(0), end: hour(2), begun: false },
        { ...work('TM-0427/J1', 'TM-0427', 'Ribbed jacket core', 'Renew worn dowel pins and bushes', 'fitting', 4), parts: [{ spare: 'BUSH-12', count: 2 }], start: hour(24), end: hour(28), begun: false },
      ] },
      { fitter: 'Oskar', skills: ['fitting'], jobs: [] },
    ],
    runs: [
      run('TM-0412', 'Pump volute core', hour(6)),
      run('TM-0427', 'Ribbed jacket core', hour(22), { late: true, hours_late: 6, ready: hour(28), importance: 2,
        held_up: { job: 'TM-0427/J1', why: 'spare', fitter: 'Yusuf', other: 'BUSH-12', until: hour(24) } }),
      { ...run('TM-0455', 'Stepped valve body core', hour(30), { late: true, never: unplanned }), ready: undefined },
    ].map((one) => JSON.parse(JSON.stringify(one)) as ToolRoomPlan['runs'][number]),
    not_planned: [unplanned],
    proposals: [{
      box: 'TM-0427', box_name: 'Ribbed jacket core', what: 'Renew seals', skill: 'fitting', hours: 1.5, parts: [], spares_listed: false,
      from_entry: 3, found: ['Inspection: seals failed: seal cut at the gassing plate.'], caution: 'Isolate the machine first.',
      origin: 'common practice, from memory' }],
    spares: [
      { spare: 'SEAL-8', words: 'round seal, 8 mm', counted: true, there: 5, minimum: 2, wanted: 0, ordered: 0, missing: 0, below_minimum: 0, delivery_overdue: false },
      { spare: 'BUSH-12', words: 'drill bush, 12 mm', counted: true, there: 0, minimum: 4, wanted: 2, ordered: 8, arrives: hour(24), missing: 2, below_minimum: 4, delivery_overdue: false },
      { spare: 'PIN-12-H', words: 'hardened dowel pin', counted: true, there: 3, minimum: 6, wanted: 0, ordered: 10, arrives: hour(-20), missing: 0, below_minimum: 3, delivery_overdue: true },
    ],
    weighted_hours_late: 12, at_least: 9.5, proven: false,
  };
  private seen = 51;

  shown(): ToolRoomPlan {
    return this.plan;
  }
  // What is told of a box that concerns the tool room; false for anything else.
  tell(box: string, kind: string, told: Record<string, unknown>): boolean {
    if (kind === 'job-raised') {
      this.plan.proposals = this.plan.proposals.filter((one) => one.box !== box || one.what !== told.what);
      this.plan.fitters[1]!.jobs.push({ ...work(`${box}/J9`, box, 'Ribbed jacket core', String(told.what), 'fitting', Number(told.hours)), start: hour(1), end: hour(3), begun: false });
      return true;
    }
    for (const fitter of this.plan.fitters) {
      const job = fitter.jobs.find((one) => one.job === told.job);
      if (job && kind === 'job-started') job.begun = true;
      if (job && kind === 'job-done') fitter.jobs = fitter.jobs.filter((one) => one !== job);
      if (job) return true;
    }
    return false;
  }
  notices(since: number | null): Notices {
    const changed = [
      { entry: 52, at: hour(-1), who: 'Greta', box: 'TM-0427', text: 'Tool-room job TM-0427/J1, fitting, 4 h: Renew worn dowel pins and bushes.' },
      { entry: 51, at: hour(-2), who: 'Yusuf', box: '', text: 'Spare BUSH-12: 0 there, 4 is the least, 8 ordered.' },
    ];
    return {
      at: hour(0), last_entry: this.seen + 1, changed: changed.filter((one) => one.entry > (since ?? 0)),
      overdue: [{ what: 'inspection', id: 'inspection TM-0418', box: 'TM-0418', text: 'Inspect TM-0418 (Inlet port core).', at: hour(-300), entry: 4 }],
      due: [{ what: 'run', id: 'run TM-0412/P1', box: 'TM-0412', text: 'Run TM-0412/P1 of TM-0412 (Pump volute core) is planned to start, 400 cores.', at: hour(6) }],
      calendar: `/calendar.ics?token=${'0'.repeat(64)}`,
    };
  }
}
