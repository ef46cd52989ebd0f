// What the service tells without being asked: a box changed, a job went on, a value came. One stream for the whole page.
import type { Job } from '../api/types';

export interface MeasurementTold {
  box: string;
  of: string;
  number: number;
}
type Ear<T> = (told: T) => void;

class Live {
  connected = $state(false);
  private stream: EventSource | null = null;
  private boxEars = new Set<Ear<string>>();
  private jobEars = new Set<Ear<Job>>();
  private measurementEars = new Set<Ear<MeasurementTold>>();
  private catchUpEars = new Set<Ear<void>>();

  open(): void {
    if (this.stream) return;
    const stream = new EventSource('/api/events');
    stream.onopen = () => {
      this.connected = true;
      // Whatever was told while the stream was away is lost: everyone asks again.
      this.catchUpEars.forEach((ear) => ear());
    };
    stream.onerror = () => {
      this.connected = false;
      // The browser gives up for good on an answer that is no stream (a restart behind a proxy): begin again.
      if (stream.readyState === EventSource.CLOSED) this.openAgainSoon(stream);
    };
    stream.addEventListener('box', (event) => this.tellBox(event.data as string));
    stream.addEventListener('measurement', (event) => this.tellMeasurement(event.data as string));
    stream.addEventListener('job', (event) => this.tellJob(event.data as string));
    this.stream = stream;
  }
  close(): void {
    this.stream?.close();
    this.stream = null;
    this.connected = false;
  }
  // Each returns the way to stop listening.
  onBox(ear: Ear<string>): () => void {
    this.boxEars.add(ear);
    return () => this.boxEars.delete(ear);
  }
  onJob(ear: Ear<Job>): () => void {
    this.jobEars.add(ear);
    return () => this.jobEars.delete(ear);
  }
  onMeasurement(ear: Ear<MeasurementTold>): () => void {
    this.measurementEars.add(ear);
    return () => this.measurementEars.delete(ear);
  }
  onCatchUp(ear: Ear<void>): () => void {
    this.catchUpEars.add(ear);
    return () => this.catchUpEars.delete(ear);
  }

  private tellBox(text: string): void {
    const told = JSON.parse(text) as { box: string };
    this.boxEars.forEach((ear) => ear(told.box));
  }
  private tellMeasurement(text: string): void {
    const told = JSON.parse(text) as MeasurementTold;
    this.measurementEars.forEach((ear) => ear(told));
  }
  private tellJob(text: string): void {
    const told = JSON.parse(text) as Job;
    this.jobEars.forEach((ear) => ear(told));
  }
  private openAgainSoon(stream: EventSource): void {
    setTimeout(() => {
      if (this.stream !== stream) return;
      this.close();
      this.open();
    }, 3000);
  }
}

export const live = new Live();
