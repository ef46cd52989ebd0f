// The service asked directly, beside the page: what the page shows is held against what the service says.
import type { Page } from 'playwright-core';
import type { AirPage, AirStudy, Box, CareOfBox, Checkpoints, ClosingPage, Diagnosis, Floor, InspectionRequest, Learning, Me, MeasuredChart, Measurements, Notices, Reading, ToolRoomPlan } from '../src/api/types';

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
  airPage = (id: string) => this.get<AirPage>(`/api/boxes/${encodeURIComponent(id)}/air`);
  // Of the box as found, once it was worked out.
  airStudy = async (id: string) => this.get<AirStudy>(`/api/air-studies/${encodeURIComponent((await this.airPage(id)).study ?? '')}`);
  measurements = (id: string, of: string) =>
    this.get<Measurements>(`/api/boxes/${encodeURIComponent(id)}/measurements?of=${encodeURIComponent(of)}`);
  chart = (id: string, of: string) => this.get<MeasuredChart>(`/api/boxes/${encodeURIComponent(id)}/chart?of=${encodeURIComponent(of)}`);
  me = () => this.get<Me>('/api/me');
  toolRoomPlan = () => this.get<ToolRoomPlan>('/api/tool-room/plan');
  notices = () => this.get<Notices>('/api/notices');
  careOfBox = (id: string) => this.get<CareOfBox>(`/api/boxes/${encodeURIComponent(id)}/care`);
  checkpoints = () => this.get<Checkpoints>('/api/checkpoints');
  diagnosis = (id: string) => this.get<Diagnosis>(`/api/boxes/${encodeURIComponent(id)}/diagnosis`);
  learning = () => this.get<Learning>('/api/diagnosis/learning');
  reading = (id: string) => this.get<Reading>(`/api/readings/${encodeURIComponent(id)}`);

  // Every check passes, but those named.
  async inspect(box: string, failing: string[]): Promise<void> {
    const { checkpoints } = await this.checkpoints();
    const request: InspectionRequest = {
      request: this.newId(),
      results: checkpoints.map((one) => ({
        checkpoint: one.id,
        passed: !failing.includes(one.id),
        ...((one.evidence === 'measure' || one.evidence === 'count') && { measured: 0 }),
      })),
    };
    const { status, text } = await this.post(`/api/boxes/${encodeURIComponent(box)}/inspections`, request);
    if (status !== 201) throw new Error(`inspection of ${box}: ${status} ${text}`);
  }
  // Asked from within the page, so that origin and cookie are the page's own.
  private async post(path: string, body: unknown): Promise<{ status: number; text: string }> {
    return this.page.evaluate(
      async ([at, content]) => {
        const answer = await fetch(at!, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: content! });
        return { status: answer.status, text: await answer.text() };
      },
      [path, JSON.stringify(body)],
    );
  }
  private newId = (): string => `page-test-${Date.now()}-${Math.random().toString(36).slice(2, 8)}`;

  async tell(box: string, kind: string, fields: Record<string, unknown>): Promise<Box> {
    const { status, text } = await this.post(`/api/boxes/${encodeURIComponent(box)}/told/${kind}`, { request: this.newId(), ...fields });
    if (status !== 201) throw new Error(`${kind} of ${box}: ${status} ${text}`);
    return JSON.parse(text) as Box;
  }
  async tellShop(kind: string, fields: Record<string, unknown>): Promise<void> {
    const { status, text } = await this.post(`/api/shop/told/${kind}`, { request: this.newId(), ...fields });
    if (status !== 201) throw new Error(`${kind}: ${status} ${text}`);
  }
  // A box nobody told anything of yet, so that a test stands on nothing but what it tells itself.
  async freshBox(pieces: readonly string[] = []): Promise<string> {
    const id = `TM-9${Math.floor(Math.random() * 1e6).toString().padStart(6, '0')}`;
    await this.tell(id, 'registered', {
      name: 'Elbow core', makes: 'an elbow', process: 'cold-box', material: 'aluminium', home_place: 'Rack Z, bay 1',
    });
    for (const piece of pieces) await this.tell(id, 'piece-registered', { piece: `${id}-${piece}`, name: `Former ${piece}`, home: 'Rack Z, bay 1, tray' });
    return id;
  }
  // The same, inspected and in a run whose first pieces have passed.
  async runningBox(): Promise<string> {
    const id = await this.freshBox();
    await this.inspect(id, []);
    await this.tell(id, 'run-opened', { station: 'Station 9', planned: 100, batch: 'B-9' });
    const { run } = await this.box(id);
    for (let i = 0; i < run!.first_pieces; i++) await this.tell(id, 'first-piece', { run: run!.run, number: i + 1, passed: true });
    return id;
  }
  // A box whose scans can be read and that has a reading of a core with something found.
  async readBox(): Promise<{ box: Box; reading: string }> {
    for (const { id } of (await this.floor()).boxes) {
      const box = await this.box(id);
      for (const { id: reading, of } of box.readings) {
        if (of === 'core' && (await this.reading(reading)).findings.some((one) => (one.area_mm2 ?? 0) > 0)) return { box, reading };
      }
    }
    throw new Error('no box of this shop has a scan reading with a finding that has a place');
  }
  // A box one half of which was scanned itself.
  async readHalf(): Promise<{ box: Box; reading: string }> {
    for (const { id } of (await this.floor()).boxes) {
      const box = await this.box(id);
      const found = box.readings.find((one) => one.of !== 'core');
      if (found) return { box, reading: found.id };
    }
    throw new Error('no box of this shop has a scan reading of a half');
  }
  // A box whose box file is on record, so that it is known how it closes.
  async closingBox(): Promise<Box> {
    for (const { id } of (await this.floor()).boxes) {
      const box = await this.box(id);
      if (box.has_box_file) return box;
    }
    throw new Error('no box of this shop has a box file on record');
  }
  // A box of which no box file is on record.
  async boxWithoutFile(): Promise<Box> {
    for (const { id } of (await this.floor()).boxes) {
      const box = await this.box(id);
      if (!box.has_box_file) return box;
    }
    throw new Error('every box of this shop has a box file on record');
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
