// What a measured size with its 95 % half-width says about a limit. Inside the uncertainty nothing is sure.
export type AgainstLimit = 'under' | 'over' | 'straddles';

export function againstLimit(value: number, u95: number, limit: number): AgainstLimit {
  const size = Math.abs(value);
  if (size - u95 > limit) return 'over';
  return size + u95 <= limit ? 'under' : 'straddles';
}
