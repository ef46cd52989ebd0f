import { describe, expect, it } from 'vitest';
import type { Checkpoint } from '../api/types';
import { newRequestId } from '../state/request_id';
import { emptyDraft, isAnswered, measuredValue, requestFor, resultsOf, valueFault } from './draft';

const checkpoint = (id: string, evidence: Checkpoint['evidence']): Checkpoint => ({
  id, evidence, title: id, how: '', fails_when: '', consequence: 'hold',
});
const list = [checkpoint('handles', 'yes-no'), checkpoint('dowels', 'measure')];

describe('a measured value', () => {
  it('is read with a point or a comma, as a gauge or a person types it', () => {
    expect(measuredValue('0.05')).toBe(0.05);
    expect(measuredValue(' 12,5 ')).toBe(12.5);
    expect(measuredValue('-0.1')).toBe(-0.1);
    expect(measuredValue('.2')).toBe(0.2);
  });
  it('is not a number when letters, two points or nothing stand there', () => {
    for (const typed of ['', '1.2.3', 'about 2', '1e3', '0x10', 'NaN', '.']) expect(measuredValue(typed)).toBeNull();
  });
});

describe('the answers of an inspection', () => {
  it('a dowel check stays open until its clearance is typed', () => {
    expect(isAnswered(list[1]!, { passed: true, value: '', remark: '' })).toBe(false);
    expect(isAnswered(list[1]!, { passed: true, value: '0,05', remark: '' })).toBe(true);
    expect(isAnswered(list[0]!, { passed: false, value: '', remark: '' })).toBe(true);
    expect(isAnswered(list[0]!, { passed: null, value: '', remark: '' })).toBe(false);
  });
  it('a count of plugged vents is a whole number, 0 or more', () => {
    const vents = checkpoint('vents', 'count');
    const typed = (value: string) => valueFault(vents, { passed: true, value, remark: '' });
    expect(typed('0')).toBeNull();
    expect(typed('3')).toBeNull();
    expect(typed('0,5')).toBe('not-whole');
    expect(typed('-1')).toBe('not-whole');
  });
  it('go out in the catalogue’s order, without empty remarks', () => {
    const answers = {
      dowels: { passed: false, value: '0,31', remark: ' worn ' },
      handles: { passed: true, value: '', remark: '  ' },
    };
    expect(resultsOf(list, answers)).toEqual([
      { checkpoint: 'handles', passed: true },
      { checkpoint: 'dowels', passed: false, measured: 0.31, remark: 'worn' },
    ]);
  });
});

describe('the request id', () => {
  let made = 0;
  const next = (): string => `request-${++made}`;

  it('stays the same when the same answers are sent again, so that they are written once', () => {
    const draft = emptyDraft(1);
    const results = resultsOf(list, { handles: { passed: true, value: '', remark: '' } });
    const first = requestFor(draft, results, next);
    expect(requestFor(draft, results, next).request).toBe(first.request);
  });
  it('is another when an answer was changed after a try, which may have arrived', () => {
    const draft = emptyDraft(1);
    const first = requestFor(draft, resultsOf(list, { handles: { passed: true, value: '', remark: '' } }), next);
    const second = requestFor(draft, resultsOf(list, { handles: { passed: false, value: '', remark: '' } }), next);
    expect(second.request).not.toBe(first.request);
  });
  it('is long enough for the service and never the same twice', () => {
    expect(newRequestId()).toMatch(/^[0-9a-f]{32}$/);
    expect(newRequestId()).not.toBe(newRequestId());
  });
});
