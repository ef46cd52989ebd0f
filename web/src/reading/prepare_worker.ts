import { prepare, type Order, type Prepared } from './prepare';
import { BadSurface } from './surface_blob';

export type Reply = { prepared: Prepared } | { bad: string };

onmessage = (event: MessageEvent<Order>) => {
  try {
    const prepared = prepare(event.data);
    const { deviation, seen } = prepared.surface;
    const reply: Reply = { prepared };
    // Handed over, not copied. Positions, triangles and numbers share the bytes that came.
    postMessage(reply, { transfer: [event.data.bytes, deviation.buffer, seen.buffer] });
  } catch (failure) {
    if (!(failure instanceof BadSurface)) throw failure;
    const reply: Reply = { bad: failure.message };
    postMessage(reply);
  }
};
