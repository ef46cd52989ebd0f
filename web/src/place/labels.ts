// What a label stands for: a box, or a loose piece of one.
import { api } from '../api/client';
import type { Box, LoosePiece, PlaceLabel } from '../api/types';

export interface Labelled {
  box: Box;
  piece: LoosePiece | null;
}

const same = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

// Null when nothing registered has this label. A number found inside a longer one is not it.
export async function labelled(label: string): Promise<Labelled | null> {
  for (const found of await api.find(label)) {
    if (same(found.id, label)) return { box: await api.box(found.id), piece: null };
    const box = await api.box(found.id);
    const piece = box.pieces.find((one) => same(one.piece, label));
    if (piece) return { box, piece };
  }
  return null;
}

export const placeOfLabel = (places: readonly PlaceLabel[], label: string): PlaceLabel | undefined =>
  places.find((one) => same(one.label, label) || same(one.place.text, label));

export const racksOf = (places: readonly PlaceLabel[]): string[] =>
  [...new Set(places.map((one) => one.rack ?? '').filter(Boolean))].sort((a, b) => a.localeCompare(b, undefined, { numeric: true }));
