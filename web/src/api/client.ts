// Every call to the service. A call that is answered with a refusal, or not at all, throws Refused with the service's
// own words: what is wrong and what to do next.
import type {
  AirPage, AirStudy, AirStudyKept, AirTried, Box, CareInForce, CareOfBox, ChainCheck, Checkpoints, CheckpointsText, ClosingAnswer, ClosingPage, ClosingTried, Diagnosis, Floor, FoundBox, InspectionRequest, Job, Learning, Me, MeasuredChart, MeasuredValue, MeasurementRequest, Measurements, Notices, Problem, Reading, ScanSubject, ScanUnit, Section, ShopPage, SignIn, StockTake, StrikeRequest, Suspects, ToolRoomPlan,
} from './types';

export class Refused extends Error {
  constructor(
    readonly status: number, // 0 when the service could not be reached
    readonly problem: Problem,
  ) {
    super(problem.what);
  }
  get unreachable(): boolean {
    return this.status === 0;
  }
}

export interface ClientWords {
  unreachable: Problem;
  garbled: (status: number) => Problem;
}

let words: ClientWords;
let signedOut: () => void = () => {};

// The client speaks in the page's language and tells one listener when the session has ended.
export function setUpClient(clientWords: ClientWords, onSignedOut: () => void): void {
  words = clientWords;
  signedOut = onSignedOut;
}

function isProblem(value: unknown): value is Problem {
  return typeof value === 'object' && value !== null && 'what' in value && 'mend' in value;
}

export function refusal(status: number, text: string): Refused {
  let body: unknown = null;
  try {
    body = JSON.parse(text);
  } catch {
    // Not JSON: something between the page and the service answered.
  }
  return new Refused(status, isProblem(body) ? body : words.garbled(status));
}

async function send(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Response> {
  const init: RequestInit = { method, credentials: 'same-origin', headers: { Accept: 'application/json' } };
  if (signal) init.signal = signal;
  if (body !== undefined) {
    init.headers = { Accept: 'application/json', 'Content-Type': 'application/json' };
    init.body = JSON.stringify(body);
  }
  let answer: Response;
  try {
    answer = await fetch(path, init);
  } catch (failure) {
    if (signal?.aborted) throw failure;
    throw new Refused(0, words.unreachable);
  }
  if (answer.ok) return answer;
  if (answer.status === 401 && path !== '/api/sign-in') signedOut();
  throw refusal(answer.status, await answer.text());
}

async function fetched<T>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  const answer = await send(method, path, body, signal);
  try {
    return (await answer.json()) as T;
  } catch {
    throw new Refused(answer.status, words.garbled(answer.status));
  }
}

// Where a chart's limits come from; what is left out is the service's default.
export interface ChartAsked {
  from?: number;
  baseline?: number;
  centre?: number;
  sigma?: number;
}

// The fields of a kind of entry, and the id that makes sending twice write once.
export type Told = Record<string, unknown> & { request: string };

const at = (...parts: string[]): string => '/api/' + parts.map(encodeURIComponent).join('/');

function asking(path: string, query: Record<string, string | number | undefined>): string {
  const given = Object.entries(query).filter(([, value]) => value !== undefined).map(([name, value]) => [name, String(value)]);
  return given.length > 0 ? `${path}?${new URLSearchParams(given)}` : path;
}

export const api = {
  signIn: (who: SignIn) => fetched<Me>('POST', at('sign-in'), who),
  signOut: () => send('POST', at('sign-out')),
  me: () => fetched<Me>('GET', at('me')),
  floor: () => fetched<Floor>('GET', at('floor')),
  box: (box: string) => fetched<Box>('GET', at('boxes', box)),
  checkpoints: () => fetched<Checkpoints>('GET', at('checkpoints')),
  inspect: (box: string, request: InspectionRequest) => fetched<Box>('POST', at('boxes', box, 'inspections'), request),
  diagnosis: (box: string) => fetched<Diagnosis>('GET', at('boxes', box, 'diagnosis')),
  learning: () => fetched<Learning>('GET', at('diagnosis', 'learning')),
  tell: (box: string, kind: string, told: Told) => fetched<Box>('POST', at('boxes', box, 'told', kind), told),
  find: async (words: string) => (await fetched<{ boxes: FoundBox[] }>('GET', asking(at('find'), { words }))).boxes,
  shop: () => fetched<ShopPage>('GET', at('shop')),
  doubt: (box: string, property: string, from?: string) => fetched<Suspects>('GET', asking(at('boxes', box, 'doubt'), { property, from })),
  takeStock: (request: string, rack: string, read: { code: string; bay?: string }[]) =>
    fetched<StockTake>('POST', at('stock-takes'), { request, rack, read }),
  care: (process: string, month?: number) => fetched<CareInForce>('GET', asking(at('care'), { process, month })),
  careOfBox: (box: string) => fetched<CareOfBox>('GET', at('boxes', box, 'care')),
  checkpointsText: () => fetched<CheckpointsText>('GET', at('checkpoints', 'text')),
  tellShop: (kind: string, told: Told) => fetched<ShopPage>('POST', at('shop', 'told', kind), told),
  notices: (since?: number) => fetched<Notices>('GET', asking(at('notices'), { since })),
  toolRoomPlan: () => fetched<ToolRoomPlan>('GET', at('tool-room', 'plan')),
  closing: (box: string) => fetched<ClosingPage>('GET', at('boxes', box, 'closing')),
  tryClosing: (box: string, tried: ClosingTried) => fetched<ClosingAnswer>('POST', at('boxes', box, 'closing'), tried),
  air: (box: string) => fetched<AirPage>('GET', at('boxes', box, 'air')),
  studyAir: (box: string, tried: AirTried) => fetched<Job | AirStudyKept>('POST', at('boxes', box, 'air'), tried),
  airStudy: (study: string) => fetched<AirStudy>('GET', at('air-studies', study)),
  measurements: (box: string, of?: string) => fetched<Measurements>('GET', asking(at('boxes', box, 'measurements'), { of })),
  measure: (box: string, request: MeasurementRequest) => fetched<MeasuredValue>('POST', at('boxes', box, 'measurements'), request),
  strike: (box: string, request: StrikeRequest) => fetched<MeasuredValue>('POST', at('boxes', box, 'measurements', 'struck'), request),
  chart: (box: string, of: string, asked: ChartAsked) => fetched<MeasuredChart>('GET', asking(at('boxes', box, 'chart'), { of, ...asked })),
  job: (job: string) => fetched<Job>('GET', at('jobs', job)),
  chooseBody: (job: string, design_body: number) => fetched<Job>('POST', at('jobs', job, 'body'), { design_body }),
  cancelJob: (job: string) => send('DELETE', at('jobs', job)),
  reading: (reading: string) => fetched<Reading>('GET', at('readings', reading)),
  section: (reading: string) => fetched<Section>('GET', at('readings', reading, 'section')),
  verifyLogbook: () => fetched<ChainCheck>('GET', at('logbook', 'verify')),
  async airCavity(study: string, signal?: AbortSignal): Promise<ArrayBuffer> {
    return (await send('GET', at('air-studies', study, 'cavity'), undefined, signal)).arrayBuffer();
  },
  async surface(reading: string, signal?: AbortSignal): Promise<ArrayBuffer> {
    return (await send('GET', at('readings', reading, 'surface'), undefined, signal)).arrayBuffer();
  },
};

// The name under which the service keeps a picture, or any other file.
export const sendPhoto = async (file: File): Promise<string> => (await sendBytes<{ photo: string }>('photos', file)).photo;
export const sendFile = async (file: File): Promise<string> => (await sendBytes<{ file: string }>('files', file)).file;

async function sendBytes<T>(where: string, file: File): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(at(where), { method: 'POST', credentials: 'same-origin', headers: { 'Content-Type': 'application/octet-stream' }, body: file });
  } catch {
    throw new Refused(0, words.unreachable);
  }
  const text = await answer.text();
  if (!answer.ok) throw refusal(answer.status, text);
  return JSON.parse(text) as T;
}

export interface Upload {
  done: Promise<Job>;
  stop(): void;
}

// XMLHttpRequest, because fetch does not tell how much of a body has been sent.
export function uploadScan(box: string, file: File, unit: ScanUnit, of: ScanSubject, sent: (share: number) => void): Upload {
  const request = new XMLHttpRequest();
  const query = new URLSearchParams({ file: file.name.slice(0, 200), unit, of });
  request.open('POST', `${at('boxes', box, 'scans')}?${query}`);
  request.setRequestHeader('Content-Type', 'application/octet-stream');
  const done = new Promise<Job>((resolve, reject) => {
    request.upload.onprogress = (event) => {
      if (event.lengthComputable) sent(event.loaded / event.total);
    };
    request.onload = () => {
      if (request.status === 401) signedOut();
      if (request.status >= 300) reject(refusal(request.status, request.responseText));
      else resolve(JSON.parse(request.responseText) as Job);
    };
    request.onerror = () => reject(new Refused(0, words.unreachable));
    request.onabort = () => reject(new DOMException('stopped', 'AbortError'));
  });
  request.send(file);
  return { done, stop: () => request.abort() };
}
