// The service asked directly, beside the page: what the page shows is held against what the service says.
import type { Page } from 'playwright-core';
import type { Box, Checkpoints, ClosingPage, Floor, InspectionRequest, MeasuredChart, Measurements, Reading } from '../src/api/types';

export class ShopCalls {
  constructor(private readonly page: Page) {}

  private async get<T>(path: string): Promise<T> {
    const answer = await this.page.request.get(path);
    if (!answer.ok()) throw new Error(`GET ${path}: ${answer.status()} ${await answer.text()}`);
    return (await answer.json()) as T;
  }
  floor = () => this.get<Floor>('/api/floor');
  box = (id: string) => this.get<Box>(`/api/boxes/${encodeURIComponent(id)}`);
  closing = (id: string) => this.get<ClosingPage>(`/api/boxes/${encodeURIComponent(id)}/closing`);
  measurements = (id: string, of: string) =>
    this.get<Measurements>(`/api/boxes/${encodeURIComponent(id)}/measurements?of=${encodeURIComponent(of)}`);
  chart = (id: string, of: string) => this.get<MeasuredChart>(`/api/boxes/${encodeURIComponent(id)}/chart?of=${encodeURIComponent(of)}`);
  checkpoints = () => this.get<Checkpoints>('/api/checkpoints');
  reading = (id: string) => this.get<Reading>(`/api/readings/${encodeURIComponent(id)}`);

  // Every check passes, but those named.
  async inspect(box: string, failing: string[]): Promise<void> {
    const { checkpoints } = await this.checkpoints();
    const request: InspectionRequest = {
      request: `page-test-${Date.now()}-${Math.random().toString(36).slice(2, 8)}`,
      results: checkpoints.map((one) => ({
        checkpoint: one.id,
        passed: !failing.includes(one.id),
        ...((one.evidence === 'measure' || one.evidence === 'count') && { measured: 0 }),
      })),
    };
    // Asked from within the page, so that origin and cookie are the page's own.
    const status = await this.page.evaluate(
      async ([path, body]) =>
        (await fetch(path!, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: body! })).status,
      [`/api/boxes/${encodeURIComponent(box)}/inspections`, JSON.stringify(request)],
    );
    if (status !== 201) throw new Error(`inspection of ${box}: ${status}`);
  }
  // A box whose scans can be read and that has a reading with something found.
  async readBox(): Promise<{ box: Box; reading: string }> {
    for (const { id } of (await this.floor()).boxes) {
      const box = await this.box(id);
      for (const { id: reading } of box.readings) {
        if ((await this.reading(reading)).findings.some((one) => (one.area_mm2 ?? 0) > 0)) return { box, reading };
      }
    }
    throw new Error('no box of this shop has a scan reading with a finding that has a place');
  }
  // A box whose box file is on record, so that it is known how it closes.
  async closingBox(): Promise<Box> {
    for (const { id } of (await this.floor()).boxes) {
      const box = await this.box(id);
      if (box.has_box_file) return box;
    }
    throw new Error('no box of this shop has a box file on record');
  }
  // A box whose core weights moved: its chart has a signal and a place where the level changed.
  async movedBox(): Promise<Box> {
    for (const { id } of (await this.floor()).boxes) {
      if ((await this.measurements(id, 'core weight')).values.length < 30) continue;
      if ((await this.chart(id, 'core weight')).changes.length > 0) return this.box(id);
    }
    throw new Error('no box of this shop has core weights that moved');
  }
  // A scan for uploading, made from a reading's own surface: each seen vertex moved out by its deviation is not
  // known here, so the vertices themselves serve, as text points. `copies` makes the reading take longer.
  async scanText(reading: string, copies = 1): Promise<Buffer> {
    const answer = await this.page.request.get(`/api/readings/${encodeURIComponent(reading)}/surface`);
    const blob = await answer.body();
    const vertices = blob.readUInt32LE(4);
    const lines: string[] = [];
    for (let copy = 0; copy < copies; copy++) {
      for (let v = 0; v < vertices; v++) {
        const part = (k: number): string => (blob.readFloatLE(12 + 12 * v + 4 * k) + 0.003 * copy).toFixed(4);
        lines.push(`${part(0)} ${part(1)} ${part(2)}`);
      }
    }
    return Buffer.from(lines.join('\n') + '\n');
  }
}
