// A count as people type it: digits only, or nothing.
export function wholeNumber(typed: string): number | null {
  const text = typed.trim();
  return /^\d{1,9}$/.test(text) ? Number(text) : null;
}
