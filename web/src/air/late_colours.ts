// The colours of lateness: pale where gas comes first, over green to deep blue where it comes last, and a colour of its own beyond the
// gassing time. Equal ratios of time are equal steps down in lightness (OKLab), so that
// the map can be read without its hues.
import { between, polar, rgbOf, type Rgb } from '../reading/deviation_colours';
import type { AgeRange } from './cavity_blob';

const FIRST = polar(0.95, 0.045, 105);
const MIDDLE = polar(0.655, 0.095, 195);
const LAST = polar(0.36, 0.125, 262);
const BEYOND = polar(0.55, 0.13, 45);

export const NEUTRAL: Rgb = rgbOf(polar(0.82, 0, 0));

export function colourOfShare(share: number): Rgb {
  const along = 2 * Math.min(1, Math.max(0, share));
  return rgbOf(along < 1 ? between(FIRST, MIDDLE, along) : between(MIDDLE, LAST, along - 1));
}

export interface LateScale extends AgeRange {
  end_s: number; // of gassing: later than this is not reached in time
}

// One scale for all states that are compared.
export function scaleOver(ranges: readonly AgeRange[], end_s: number): LateScale {
  return {
    low_s: Math.min(...ranges.map((one) => one.low_s)),
    high_s: Math.max(...ranges.map((one) => one.high_s)),
    end_s,
  };
}

export const shareOfAge = (age_s: number, { low_s, high_s }: AgeRange): number => Math.log(age_s / low_s) / Math.log(high_s / low_s);
export const ageAtShare = (share: number, { low_s, high_s }: AgeRange): number => low_s * (high_s / low_s) ** share;

export const colourOfAge = (age_s: number, scale: LateScale): Rgb =>
  age_s > scale.end_s ? rgbOf(BEYOND) : colourOfShare(shareOfAge(age_s, scale));

export const TABLE = 512;
function tableOf(colour: (share: number) => Rgb): Uint8Array {
  const table = new Uint8Array(4 * TABLE);
  for (let i = 0; i < TABLE; i++) {
    colour((i + 0.5) / TABLE).forEach((part, k) => (table[4 * i + k] = Math.round(255 * part)));
    table[4 * i + 3] = 255;
  }
  return table;
}
export const ageTable = (scale: LateScale): Uint8Array => tableOf((share) => colourOfAge(ageAtShare(share, scale), scale));
export const fillTable = (): Uint8Array => tableOf(colourOfShare);

export const css = (rgb: Rgb): string => `rgb(${rgb.map((part) => Math.round(255 * part)).join(' ')})`;
