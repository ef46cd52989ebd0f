// A count with its word in the right number.
export const plural = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;
