// Values tried instead of those on record, and asking for them while a slider moves: one question on its way at a time,
// and after it only the newest.
import type { ClosingPage, ClosingTried } from '../api/types';

export interface Values {
  pins: Record<string, number>;
  bushes: Record<string, number>;
  pulls: Record<string, number>; // torque of a bolt, force of a toggle
  leaf_mm: number | null; // the thickest leaf that goes in; null without readings
}

export function valuesOf(page: ClosingPage): Values {
  const each = <T extends { id: string }>(list: readonly T[], value: (one: T) => number): Record<string, number> =>
    Object.fromEntries(list.map((one) => [one.id, value(one)]));
  return {
    pins: each(page.dowels, (dowel) => dowel.pin_mm),
    bushes: each(page.dowels, (dowel) => dowel.bush_mm),
    pulls: each(page.clamps, (clamp) => clamp.torque_Nm ?? clamp.force_N ?? 0),
    leaf_mm: page.readings.length > 0 ? Math.max(...page.readings.map((reading) => reading.clamped_mm)) : null,
  };
}

// A pin never outgrows its bush: whichever is moved, the other gives way.
export function withPin(values: Values, id: string, pin_mm: number): Values {
  const bush = Math.max(values.bushes[id] ?? pin_mm, pin_mm);
  return { ...values, pins: { ...values.pins, [id]: pin_mm }, bushes: { ...values.bushes, [id]: bush } };
}
export function withBush(values: Values, id: string, bush_mm: number): Values {
  const pin = Math.min(values.pins[id] ?? bush_mm, bush_mm);
  return { ...values, pins: { ...values.pins, [id]: pin }, bushes: { ...values.bushes, [id]: bush_mm } };
}

export function triedOf(page: ClosingPage, values: Values): ClosingTried {
  return {
    dowels: page.dowels.map(({ id }) => ({ id, pin_mm: values.pins[id]!, bush_mm: values.bushes[id]! })),
    clamps: page.clamps.map(({ id, kind }) =>
      kind === 'bolt' ? { id, torque_Nm: values.pulls[id]! } : { id, force_N: values.pulls[id]! }),
    ...(values.leaf_mm !== null && { clamped_mm: values.leaf_mm }),
  };
}

export class NewestOnly<Question, Reply> {
  private waiting: { question: Question } | null = null;
  private busy = false;

  constructor(
    private readonly ask: (question: Question) => Promise<Reply>,
    private readonly told: (reply: Reply) => void,
    private readonly failed: (failure: unknown) => void,
  ) {}

  async put(question: Question): Promise<void> {
    this.waiting = { question };
    if (this.busy) return;
    this.busy = true;
    while (this.waiting) {
      const next: { question: Question } = this.waiting;
      this.waiting = null;
      try {
        this.told(await this.ask(next.question));
      } catch (failure) {
        this.failed(failure);
      }
    }
    this.busy = false;
  }
}
