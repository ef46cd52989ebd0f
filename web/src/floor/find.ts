// Which boxes a find field's words ask for: every word must stand somewhere in the box's number, name, place or
// reasons. Letters' case and accents do not matter, nor a hyphen left out of a box number.
import type { FloorBox } from '../api/types';

const folded = (text: string): string =>
  text.normalize('NFD').replace(/\p{Diacritic}/gu, '').toLowerCase();

export function boxesMatching(boxes: readonly FloorBox[], words: string): FloorBox[] {
  const wanted = folded(words).split(/\s+/).filter(Boolean);
  if (wanted.length === 0) return [...boxes];
  return boxes.filter((box) => {
    const reasons = box.verdict.reasons.map((reason) => reason.text);
    const text = folded([box.id, box.id.replaceAll('-', ''), box.name, box.place.text, ...reasons].join('\n'));
    return wanted.every((word) => text.includes(word));
  });
}
