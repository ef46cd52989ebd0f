// Minutes since a value was fetched, ticking while somebody looks.
export class Ticking {
  minutes = $state(0);
  private since = Date.now();

  // To be called while a component is set up; it stops with the component.
  constructor() {
    $effect(() => {
      const timer = setInterval(() => (this.minutes = (Date.now() - this.since) / 60_000), 1000);
      return () => clearInterval(timer);
    });
  }
  fetchedNow(): void {
    this.since = Date.now();
    this.minutes = 0;
  }
}
