// The last entry one has seen, kept on this device for each person.
const key = (who: string): string => `boxfettle.seen.${who}`;

export function lastSeen(who: string, store: Storage = localStorage): number | undefined {
  const kept = store.getItem(key(who));
  return kept !== null && /^\d{1,15}$/.test(kept) ? Number(kept) : undefined;
}

export function keepSeen(who: string, entry: number, store: Storage = localStorage): void {
  try {
    store.setItem(key(who), String(entry));
  } catch {
    // A full or forbidden store: next time the same is shown again.
  }
}
