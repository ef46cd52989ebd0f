// The mock's record: enough of an invented shop to show every state of the page.
import type { Box, Checkpoint, FloorBox, Job, LogbookEntry, Me, Place, Reading, Reason, VerdictState } from '../src/api/types';

export const me: Me = { name: 'Wren Halloway', role: 'supervisor', shop: 'Tarnmoor Castings' };
export const passphrase = 'mock passphrase';

const place = (kind: Place['kind'], text: string): Place => ({ kind, text });
const reason = (state: VerdictState, text: string, entry: number, safety = false): Reason => ({ state, text, entry, ...(safety && { safety }) });

type Line = [id: string, name: string, where: Place, reasons: Reason[]];
const lines: Line[] = [
  ['TM-0412', 'Pump volute core', place('tool-room', 'Tool room, bench 2'), [
    reason('hold', 'Worn 1.04 mm deep beside the blow tube, limit 0.30 mm', 41),
    reason('watch', 'Halves 0.42 mm out of line, limit 0.40 mm', 41),
    reason('watch', 'Vent V3 not flush', 38)]],
  ['TM-0433', 'Thermostat housing core', place('bay', 'Rack A, bay 1'), [reason('hold', 'Handle loose on the upper half', 29, true)]],
  ['TM-0460', 'Bearing bracket core', place('missing', 'Not found at the last count'), [reason('hold', 'Not where the record says it stands', 33)]],
  ['TM-0427', 'Ribbed jacket core', place('station', 'Station 2'), [reason('watch', 'Gap 0.17 mm at the parting, limit 0.20 mm', 36)]],
  ['TM-0438', 'Gear pump body core', place('bay', 'Rack B, bay 7'), [reason('watch', 'Two of nine vents partly plugged', 31)]],
  ['TM-0455', 'Stepped valve body core', place('station', 'Station 4'), [reason('watch', 'Not inspected for 34 days', 12)]],
  ...(['Elbow core', 'Manifold runner core', 'Intake port core', 'Hub core', 'Water passage core', 'Compressor scroll core', 'Cover core'] as const).map(
    (name, i): Line => [`TM-05${String(i * 7 + 3).padStart(2, '0')}`, name,
      i === 3 ? place('outside-shop', 'At the machining shop') : place('bay', `Rack C, bay ${i + 1}`), []]),
];

export const checkpoints: Checkpoint[] = [
  { id: 'identity', title: 'The right box', how: 'Read the number on both halves and on each loose piece.', fails_when: 'a number is missing, or halves or pieces of two boxes are mixed.', evidence: 'yes-no', consequence: 'hold' },
  { id: 'handles', title: 'Handles and lifting eyes', how: 'Pull each handle by hand and look at its bolts.', fails_when: 'a handle moves, a bolt is loose or a crack shows.', evidence: 'yes-no', consequence: 'safety-hold', caution: 'Set the half down on the bench first. Never test a handle by lifting with it.' },
  { id: 'cavity', title: 'Cavity finish', how: 'Look along the wall with a lamp; feel for steps with a clean finger.', fails_when: 'there is build-up, a score or a bright worn spot.', evidence: 'photo', consequence: 'watch' },
  { id: 'dowels', title: 'Dowel clearance', how: 'Measure the largest play of the upper half at dowel D1.', fails_when: 'the play is above the limit on the card.', evidence: 'measure', unit: 'mm', consequence: 'hold' },
  { id: 'vents', title: 'Plugged vents', how: 'Blow each vent through from the back and count those that stay shut.', fails_when: 'one or more stay shut.', evidence: 'count', consequence: 'watch', caution: 'Eye protection. Limited pressure. Never point the air at a person.' },
  { id: 'parting', title: 'Parting closes', how: 'Close the halves without clamps and try the feeler all round.', fails_when: 'the feeler enters deeper than 5 mm anywhere.', evidence: 'measure', unit: 'mm', consequence: 'hold', caution: 'Keep fingers out of the parting while the upper half comes down.' },
];

const entry = (seq: number, kind: string, text: string, more: Partial<LogbookEntry> = {}): LogbookEntry => ({
  seq, kind, text,
  at: new Date(Date.UTC(2026, 9, 1, 6, 10) + seq * 47_000_000).toISOString(),
  who: seq % 3 ? 'Wren Halloway' : 'Tam Oakes',
  hash: Array.from({ length: 64 }, (_, k) => ((seq * 7 + k * 11 + ((seq * k) % 5)) % 16).toString(16)).join(''),
  ...more,
});

function boxPage([id, name, where, reasons]: Line): Box {
  const first = id === 'TM-0412';
  return {
    id, name, place: where,
    process: 'cold-box',
    material: 'aluminium',
    makes: `${name} of the ${name.split(' ')[0]!.toLowerCase()} casting`,
    verdict: { state: reasons[0]?.state ?? 'fit', reasons },
    has_design: id !== 'TM-0460',
    has_box_file: first,
    limits: { surface_mm: 0.3, mismatch_mm: 0.4, gap_mm: 0.2 },
    readings: first ? [
      { id: 'r-2', at: '2026-11-24T09:12:00Z', file: 'volute_core_2026-11-24.ply', of: 'core', verdict: 'hold', summary: 'Worn 1.04 mm beside the blow tube; halves 0.42 mm out of line.' },
      { id: 'r-3', at: '2026-11-20T15:02:00Z', file: 'volute_lower_half.ply', of: 'half-lower', verdict: 'watch', summary: 'A dent of 0.24 mm in the parting face.' },
      { id: 'r-1', at: '2026-08-03T13:40:00Z', file: 'volute_core_august_first_scan_after_repair.ply', of: 'core', verdict: 'cannot-tell', summary: 'Too little of the upper half was seen.' }] : [],
    logbook: [
      ...(first ? [entry(41, 'scan-read', 'Scan volute_core_2026-11-24.ply read: hold.', { reading: 'r-2' })] : []),
      ...reasons.filter((one) => one.entry !== 41).map((one) => entry(one.entry, 'inspected', `Inspected: ${one.text}.`)),
      entry(9, 'moved', `Moved to ${where.text}.`),
      entry(3, 'registered', `Registered: ${name}.`)],
    jobs: [],
    made: 0, files: [], past_runs: [], pieces: [], components: [], concessions: [], defects: [], not_seen: [], traces: [], doubts: [], tool_room: [], planned_runs: [],
  };
}

export class MockShop {
  readonly boxes = new Map<string, Box>(lines.map((line) => [line[0], boxPage(line)]));
  readonly jobs = new Map<string, Job>();
  readonly written = new Map<string, string>(); // request id -> box
  private next = 50;

  floor(): FloorBox[] {
    const order: VerdictState[] = ['hold', 'watch', 'fit'];
    return [...this.boxes.values()]
      .map(({ id, name, verdict, place: stands }) => ({ id, name, verdict, place: stands }))
      .sort((a, b) => order.indexOf(a.verdict.state) - order.indexOf(b.verdict.state));
  }
  write(box: Box, kind: string, text: string, more: Partial<LogbookEntry> = {}): number {
    const seq = this.next++;
    box.logbook = [entry(seq, kind, text, { at: new Date().toISOString(), who: me.name, ...more }), ...box.logbook];
    return seq;
  }
}

export const reading = (findings: Reading['findings']): Reading => ({
  pose: { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation_mm: [12.1, -4.2, 88], ambiguous: false },
  scan_unit: 'mm',
  deviation: { mean_mm: 0.021, sd_mm: 0.14, p05_mm: -0.11, p50_mm: 0.008, p95_mm: 0.31, within_limit_fraction: 0.941, coverage_fraction: 0.957, outlier_fraction: 0.004 },
  halves: { told: true, mismatch_mm: [0.41, -0.07], mismatch_worst_mm: 0.43, gap_worst_mm: 0.17, rotation_deg: 0.021, gap_mm: 0.12, tilt_deg: [0.01, -0.004], u95: { mismatch_mm: 0.05, gap_mm: 0.03, rotation_deg: 0.012 } },
  findings, verdict: 'hold', scan_noise_mm: 0.048,
  notes: ['The unit of the scan was found from its size: mm.', 'The surface between the halves counts as the lower half.'],
});

export const halfReading = (findings: Reading['findings']): Reading => {
  const { halves: _, ...rest } = reading(findings);
  return {
    ...rest,
    of: 'half-lower',
    parting_face: {
      told: true, flatness_ls_mm: 0.071, flatness_min_zone_mm: 0.066, u95_mm: 0.014, offset_mm: 0.018, offset_worst_mm: 0.041,
      tilt_deg: [0.011, -0.004], u95: { tilt_deg: 0.003, offset_mm: 0.006 }, centroid_mm: [0, 0, 0], coverage: 0.98,
    },
    dowels: [
      { id: 'D1', told: true, kind: 'pin', at_mm: [-140.02, 0.01], diameter_mm: 11.981, nominal_mm: 12, offset_mm: [-0.021, 0.012], u95: { at_mm: 0.008, diameter_mm: 0.011 } },
      { id: 'D2', told: false, why_not: 'too little of it was seen' },
    ],
    verdict: 'watch',
  };
};

export const untoldReading = (): Reading => ({
  ...reading([]),
  halves: { told: false, why_not: 'Only 12 % of the upper half was seen; scan it again from above.' },
  verdict: 'cannot-tell',
  notes: ['Only 12 % of the upper half was seen; scan it again from above.', 'The unit of the scan was found from its size: mm.'],
});
