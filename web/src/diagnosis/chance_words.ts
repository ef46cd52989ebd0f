// A chance in a word beside its per cent. The borders are a choice; nothing is decided by them.
export type ChanceWord = 'almost' | 'likely' | 'possible' | 'unlikely';

export function chanceWord(chance: number): ChanceWord {
  if (chance >= 0.9) return 'almost';
  if (chance >= 0.5) return 'likely';
  return chance >= 0.15 ? 'possible' : 'unlikely';
}
