// One thing asked of the service and kept fresh: nothing yet, the thing, or why not. A thing already shown stays on
// the screen when asking again fails; `stale` says so.
import { Refused } from '../api/client';

export class Shown<T> {
  value = $state.raw<T | null>(null);
  refused = $state.raw<Refused | null>(null);
  private asked = 0;
  private readonly ask: () => Promise<T>;

  constructor(ask: () => Promise<T>) {
    this.ask = ask;
  }
  get stale(): boolean {
    return this.value !== null && this.refused !== null;
  }
  async refresh(): Promise<void> {
    const mine = ++this.asked;
    try {
      const value = await this.ask();
      if (mine !== this.asked) return; // a later question is already on its way
      this.value = value;
      this.refused = null;
    } catch (failure) {
      if (!(failure instanceof Refused)) throw failure;
      if (mine === this.asked) this.refused = failure;
    }
  }
  put(value: T): void {
    this.asked++;
    this.value = value;
    this.refused = null;
  }
}
