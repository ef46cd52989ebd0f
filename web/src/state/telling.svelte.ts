// One thing told to the logbook: on its way, refused, or done. The same thing told again after a dead network carries
// the same id, so the service writes it once; anything else is another thing and gets another id.
import { api, Refused } from '../api/client';
import type { Box } from '../api/types';
import { newRequestId } from './request_id';

export class Telling {
  sending = $state(false);
  refused = $state.raw<Refused | null>(null);
  private last: { request: string; content: string } | null = null;

  // The answer, or null when the service said no; then `refused` has its words.
  async send<T>(content: unknown, how: (request: string) => Promise<T>): Promise<T | null> {
    if (this.sending) return null;
    const text = JSON.stringify(content);
    if (this.last?.content !== text) this.last = { request: newRequestId(), content: text };
    this.sending = true;
    this.refused = null;
    try {
      const answer = await how(this.last.request);
      this.last = null;
      return answer;
    } catch (failure) {
      if (!(failure instanceof Refused)) throw failure;
      this.refused = failure;
      return null;
    } finally {
      this.sending = false;
    }
  }
  tell(box: string, kind: string, fields: Record<string, unknown>): Promise<Box | null> {
    return this.send([box, kind, fields], (request) => api.tell(box, kind, { ...fields, request }));
  }
}
