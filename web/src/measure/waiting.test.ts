import { describe, expect, it } from 'vitest';
import { sentNow } from './waiting.svelte';

const request = { request: 'weighed-1', of: 'core weight', unit: 'g', value: 412.3 } as const;

describe('a weight typed while the network is away', () => {
  it('is sent with how long it waited', () =>
    expect(sentNow({ request, typed_ms: 1_000_000 }, 1_000_000 + 3_600_000)).toEqual({ ...request, waited_s: 3600 }));
  it('is sent as it is when it did not wait, or when the device’s clock was set back', () => {
    expect(sentNow({ request, typed_ms: 1000 }, 1200)).toEqual(request);
    expect(sentNow({ request, typed_ms: 9_000_000 }, 1000)).toEqual(request);
  });
  it('never waited longer than the service takes', () => expect(sentNow({ request, typed_ms: 0 }, 1e12).waited_s).toBe(90 * 86_400));
});
