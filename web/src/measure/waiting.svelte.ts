// Values entered and not yet kept by the service: sent one after the other, in order. What the network swallowed stays on
// this device and is sent again under the same request, so that it is kept once.
import { api, Refused } from '../api/client';
import type { MeasuredValue, MeasurementRequest } from '../api/types';

// A value with the time it was typed, by this device's clock: the service is told how long it waited, so that a clock that
// is set wrong tells nothing wrong.
interface Typed {
  request: MeasurementRequest;
  typed_ms: number;
}
const LONGEST_WAIT_S = 90 * 86_400;

export function sentNow({ request, typed_ms }: Typed, now_ms: number): MeasurementRequest {
  const waited_s = Math.min((now_ms - typed_ms) / 1000, LONGEST_WAIT_S);
  return waited_s >= 1 ? { ...request, waited_s } : request;
}

const keyOf = (box: string): string => `boxfettle.measured.${box}`;

function kept(box: string): Typed[] {
  try {
    const list: unknown = JSON.parse(localStorage.getItem(keyOf(box)) ?? '[]');
    return Array.isArray(list) ? (list as Typed[]) : [];
  } catch {
    return []; // storage is full of something else, or forbidden
  }
}

export class Waiting {
  list = $state.raw<Typed[]>([]);
  refused = $state.raw<Refused | null>(null);
  private busy = false;

  constructor(
    private readonly box: () => string,
    private readonly told: (value: MeasuredValue) => void,
  ) {
    this.list = kept(box());
  }
  async add(request: MeasurementRequest): Promise<void> {
    this.put([...this.list, { request, typed_ms: Date.now() }]);
    await this.send();
  }
  // Until none is left or the service cannot be reached; a value that is refused for good is not kept waiting.
  async send(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    try {
      for (let next = this.list[0]; next; next = this.list[0]) {
        try {
          const value = await api.measure(this.box(), sentNow(next, Date.now()));
          this.refused = null;
          this.put(this.list.slice(1));
          this.told(value);
        } catch (failure) {
          if (!(failure instanceof Refused)) throw failure;
          this.refused = failure;
          if (failure.unreachable || failure.status === 401 || failure.status >= 500) return;
          this.put(this.list.slice(1));
        }
      }
    } finally {
      this.busy = false;
    }
  }
  private put(list: Typed[]): void {
    this.list = list;
    try {
      if (list.length > 0) localStorage.setItem(keyOf(this.box()), JSON.stringify(list));
      else localStorage.removeItem(keyOf(this.box()));
    } catch {
      // Without storage the values wait in this page alone.
    }
  }
}
