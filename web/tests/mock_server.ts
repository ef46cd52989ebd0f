// Stands in for the service while the page is built and tested: serves the built page under the strict policy it must
// live with, and answers the calls of src/service/openapi.yaml from memory.
import { readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import type { AirTried, Box, ClosingTried, InspectionRequest, Job, MeasurementRequest, Problem, SignIn, StrikeRequest } from '../src/api/types';
import { inventedCore, type InventedCore } from './invented_core';
import { mockAirPage, mockAirStudy, mockCavity } from './mock_air';
import { mockClosing, mockClosingAnswer } from './mock_closing';
import { mockDoubt, MockMeasurements } from './mock_measure';
import { checkpoints, halfReading, me, MockShop, passphrase, reading, untoldReading } from './mock_shop';
import { MockToolRoom } from './mock_toolroom';

export const POLICY = "default-src 'self'";
const kinds: Record<string, string> = {
  '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.svg': 'image/svg+xml', '.woff2': 'font/woff2',
};

export interface MockOptions {
  pages: string; // the folder of the built page
  port?: number;
  around?: number; // vertices of the invented core: around times over
  over?: number;
}

export interface Mock {
  url: string;
  name: string;
  passphrase: string;
  close(): Promise<void>;
}

class Service {
  private readonly shop = new MockShop();
  private readonly measured = new MockMeasurements('TM-0412');
  private readonly toolRoom = new MockToolRoom();
  private readonly core: InventedCore;
  private readonly streams = new Set<ServerResponse>();
  private readonly studies = new Map<string, string>(); // by what is tried

  constructor(private readonly options: MockOptions) {
    this.core = inventedCore(options.around ?? 360, options.over ?? 120);
  }

  async answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const url = new URL(request.url ?? '/', 'http://mock');
    if (!url.pathname.startsWith('/api/')) return this.file(url.pathname, response);
    const call = `${request.method} ${url.pathname}`;
    if (call === 'POST /api/sign-in') return this.signIn(request, response);
    if (!/boxfettle=mock/.test(request.headers.cookie ?? '')) {
      return refuse(response, 401, { what: 'Nobody is signed in.', mend: 'Sign in.' });
    }
    const parts = url.pathname.split('/').slice(2).map(decodeURIComponent);
    if (call === 'POST /api/sign-out') {
      response.setHeader('Set-Cookie', 'boxfettle=; Max-Age=0; Path=/');
      return void response.writeHead(204).end();
    }
    if (call === 'GET /api/me') return json(response, 200, me);
    if (call === 'GET /api/floor') return json(response, 200, { shop: me.shop, at: new Date().toISOString(), boxes: this.shop.floor() });
    if (call === 'GET /api/checkpoints') return json(response, 200, { version: 3, checkpoints });
    if (call === 'GET /api/logbook/verify') return json(response, 200, { whole: true, entries: 52 });
    if (call === 'GET /api/tool-room/plan') return json(response, 200, this.toolRoom.shown());
    if (call === 'GET /api/notices') return json(response, 200, this.toolRoom.notices(url.searchParams.has('since') ? Number(url.searchParams.get('since')) : null));
    if (call === 'GET /api/events') return this.listen(response);
    if (parts[0] === 'boxes') return this.box(request, response, parts[1] ?? '', parts.slice(2).join('/') || undefined, url);
    if (parts[0] === 'jobs') return this.job(request, response, parts[1] ?? '');
    if (parts[0] === 'air-studies') return this.airStudy(response, parts[1] ?? '', parts[2]);
    if (parts[0] === 'readings') return this.reading(response, parts[1] ?? '', parts[2]);
    return refuse(response, 404, { what: 'No such call.', mend: 'Look at the contract.' });
  }

  private async file(path: string, response: ServerResponse): Promise<void> {
    const name = normalize(path === '/' ? '/index.html' : path);
    try {
      const bytes = await readFile(join(this.options.pages, name));
      response.writeHead(200, { 'Content-Type': kinds[extname(name)] ?? 'application/octet-stream', 'Content-Security-Policy': POLICY });
      response.end(bytes);
    } catch {
      response.writeHead(404).end();
    }
  }
  private async signIn(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const who = JSON.parse((await body(request)).toString()) as SignIn;
    if (who.name !== me.name || who.passphrase !== passphrase) {
      return refuse(response, 401, { what: 'Name or passphrase is wrong.', mend: 'Try again; the supervisor can give a new passphrase.' });
    }
    response.setHeader('Set-Cookie', 'boxfettle=mock; Path=/; HttpOnly; SameSite=Strict');
    json(response, 200, me);
  }
  private listen(response: ServerResponse): void {
    response.writeHead(200, { 'Content-Type': 'text/event-stream', 'Cache-Control': 'no-store' });
    response.write(': here\n\n');
    this.streams.add(response);
    response.on('close', () => this.streams.delete(response));
  }
  private tell(event: 'box' | 'job' | 'measurement', what: unknown): void {
    for (const stream of this.streams) stream.write(`event: ${event}\ndata: ${JSON.stringify(what)}\n\n`);
  }
  private async box(request: IncomingMessage, response: ServerResponse, id: string, deed: string | undefined, url: URL): Promise<void> {
    const box = this.shop.boxes.get(id);
    const sent = request.method === 'POST' ? await body(request) : Buffer.alloc(0);
    if (!box) return refuse(response, 404, { what: `There is no box ${id}.`, mend: 'Look the number up on the floor.' });
    if (request.method === 'GET' && deed === undefined) return json(response, 200, box);
    if (deed === 'closing') {
      if (!box.has_box_file) return refuse(response, 409, { what: `Box ${id} has no box file on record.`, mend: 'Register it with its box file.' });
      return json(response, 200, request.method === 'GET' ? mockClosing() : mockClosingAnswer(JSON.parse(sent.toString()) as ClosingTried));
    }
    if (deed === 'air') return this.air(response, box, request.method === 'GET' ? null : (JSON.parse(sent.toString()) as AirTried));
    if (deed === 'measurements') {
      if (request.method === 'GET') return json(response, 200, this.measured.of(id, url.searchParams.get('of')));
      const asked = JSON.parse(sent.toString()) as MeasurementRequest;
      const kept = this.measured.keep(id, asked);
      this.tell('measurement', { box: id, of: asked.of, number: kept.number });
      return json(response, 201, kept);
    }
    if (deed === 'measurements/struck') {
      const value = this.measured.strike(id, JSON.parse(sent.toString()) as StrikeRequest);
      if (!value) return refuse(response, 409, { what: 'That was never measured.', mend: 'Look at the number again.' });
      this.tell('measurement', { box: id, of: (JSON.parse(sent.toString()) as StrikeRequest).of, number: value.number });
      return json(response, 201, value);
    }
    if (deed === 'doubt') return json(response, 200, mockDoubt(url.searchParams));
    if (deed === 'told/suspects-listed') return json(response, 201, box);
    if (deed === 'chart') {
      const chart = this.measured.chart(id, url.searchParams.get('of') ?? '');
      return chart ? json(response, 200, chart) : refuse(response, 422, { what: 'has too few values side by side to tell their scatter', mend: 'Measure more.' });
    }
    if (deed?.startsWith('told/') && this.toolRoom.tell(id, deed.slice(5), JSON.parse(sent.toString()) as Record<string, unknown>)) {
      this.tell('box', { box: id });
      return json(response, 201, box);
    }
    if (deed === 'inspections') return this.inspect(response, box, JSON.parse(sent.toString()) as InspectionRequest);
    if (deed === 'scans') return this.scan(response, box, url.searchParams.get('file') ?? 'scan', sent.length);
    return refuse(response, 404, { what: 'No such call.', mend: 'Look at the contract.' });
  }
  private inspect(response: ServerResponse, box: Box, { request, results }: InspectionRequest): void {
    if (box.place.kind === 'outside-shop') {
      return refuse(response, 409, { what: `${box.id} is outside the shop.`, mend: 'Move it back in first, then inspect it.' });
    }
    if (!this.shop.written.has(request)) {
      const failed = results.filter((one) => !one.passed).map((one) => checkpoints.find((point) => point.id === one.checkpoint)!);
      const text = failed.length ? `Inspected: ${failed.map((one) => one.title).join(', ')} failed.` : 'Inspected: all checks pass.';
      const seq = this.shop.write(box, 'inspected', text);
      const holds = failed.filter((one) => one.consequence.endsWith('hold'));
      box.verdict = {
        state: holds.length ? 'hold' : failed.length ? 'watch' : 'fit',
        reasons: failed.map((one) => ({
          state: one.consequence.endsWith('hold') ? 'hold' : 'watch', text: `${one.title} failed`, entry: seq,
          ...(one.consequence === 'safety-hold' && { safety: true }) })),
      };
      this.shop.written.set(request, box.id);
      this.tell('box', { box: box.id });
    }
    json(response, 201, box);
  }
  private scan(response: ServerResponse, box: Box, file: string, size: number): void {
    if (size < 1000) return refuse(response, 422, { what: 'The scan holds too few points.', mend: 'Export the whole scan and send it again.', place: file });
    const job: Job = { id: `j-${this.shop.jobs.size + 1}`, kind: 'scan-reading', box: box.id, file, state: 'queued', share: 0, step: '', queued_at: new Date().toISOString() };
    this.shop.jobs.set(job.id, job);
    box.jobs = [...box.jobs, job];
    this.tell('job', job);
    json(response, 202, job);
    this.work(job, box, ['Cleaning', 'Finding the pose', 'Measuring', 'Explaining'], () => {
      job.reading = 'r-2';
      this.shop.write(box, 'scan-read', `Scan ${job.file} read: hold.`, { reading: 'r-2' });
    });
  }
  private air(response: ServerResponse, box: Box, tried: AirTried | null): void {
    if (!box.has_box_file) return refuse(response, 409, { what: `Box ${box.id} has no box file on record.`, mend: 'Register it with its box file.' });
    const keyOf = (asked: AirTried): string => JSON.stringify(Object.fromEntries(asked.vents.map((one) => [one.id, one.plugged])));
    if (!tried) return json(response, 200, mockAirPage(this.studies.get('{}')));
    const key = keyOf(tried);
    const kept = this.studies.get(key);
    if (kept) return json(response, 200, { study: kept });
    const job: Job = { id: `j-${this.shop.jobs.size + 1}`, kind: 'air-study', box: box.id, state: 'queued', share: 0, step: '', queued_at: new Date().toISOString() };
    this.shop.jobs.set(job.id, job);
    this.tell('job', job);
    json(response, 202, job);
    this.work(job, box, ['Cutting the cavity', 'Gas through the box', 'How far each vent may plug', 'One more vent'], () => {
      job.study = `study-${job.id}`;
      this.studies.set(key, job.study);
    });
  }
  private airStudy(response: ServerResponse, id: string, part: string | undefined): void {
    const key = [...this.studies].find(([, study]) => study === id)?.[0];
    if (key === undefined) return refuse(response, 404, { what: 'There is no such study.', mend: 'Ask for it again.' });
    const study = mockAirStudy(id, JSON.parse(key) as Record<string, number>);
    if (part !== 'cavity') return json(response, 200, study);
    const V = this.core.blob.readUInt32LE(4), T = this.core.blob.readUInt32LE(8);
    const positions = this.core.blob.subarray(12, 12 + 12 * V);
    const cavity = mockCavity({ positions, triangles: this.core.blob.subarray(12 + 12 * V, 12 + 12 * V + 12 * T) }, study);
    response.writeHead(200, { 'Content-Type': 'application/octet-stream' }).end(cavity);
  }
  private work(job: Job, box: Box, steps: readonly string[], done: () => void): void {
    const timer = setInterval(() => {
      if (job.state === 'cancelled') return void clearInterval(timer);
      job.state = 'running';
      job.share = Math.min(1, job.share + 0.06);
      job.step = steps[Math.min(3, Math.floor(job.share * 4))]!;
      if (job.share >= 1) {
        clearInterval(timer);
        job.state = 'done';
        box.jobs = box.jobs.filter((one) => one.id !== job.id);
        done();
        this.tell('box', { box: box.id });
      }
      this.tell('job', job);
    }, 120);
  }
  private job(request: IncomingMessage, response: ServerResponse, id: string): void {
    const job = this.shop.jobs.get(id);
    if (!job) return refuse(response, 404, { what: 'There is no such job.', mend: 'Go back to the box.' });
    if (request.method === 'GET') return json(response, 200, job);
    job.state = 'cancelled';
    const box = this.shop.boxes.get(job.box)!;
    box.jobs = box.jobs.filter((one) => one.id !== id);
    this.tell('job', job);
    response.writeHead(204).end();
  }
  private reading(response: ServerResponse, id: string, part: string | undefined): void {
    if (!['r-1', 'r-2', 'r-3'].includes(id)) return refuse(response, 404, { what: 'There is no such reading.', mend: 'Go back to the box.' });
    if (part === 'section' && id === 'r-3') return refuse(response, 404, { what: 'There is no such reading.', mend: 'Go back to the box.' });
    if (part === 'section') return json(response, 200, this.core.section);
    if (part === 'surface') return void response.writeHead(200, { 'Content-Type': 'application/octet-stream' }).end(this.core.blob);
    if (id === 'r-3') return json(response, 200, halfReading(this.core.findings.filter((one) => one.kind !== 'mismatch')));
    json(response, 200, id === 'r-1' ? untoldReading() : reading(this.core.findings));
  }
}

async function body(request: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts);
}
function json(response: ServerResponse, status: number, what: unknown): void {
  response.writeHead(status, { 'Content-Type': 'application/json' }).end(JSON.stringify(what));
}
function refuse(response: ServerResponse, status: number, problem: Problem): void {
  json(response, status, problem);
}

export async function startMock(options: MockOptions): Promise<Mock> {
  const service = new Service(options);
  const server: Server = createServer((request, response) => {
    service.answer(request, response).catch((failure: unknown) => {
      console.error(failure);
      response.destroy();
    });
  });
  await new Promise<void>((ready) => server.listen(options.port ?? 0, '127.0.0.1', ready));
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}`,
    name: me.name,
    passphrase,
    close: () => new Promise((done) => {
      server.closeAllConnections();
      server.close(() => done());
    }),
  };
}
