// The colours of deviation: blue inside (less sand), neutral grey within the limit, orange to brown outside (more sand).
//
// Laid out in OKLab (Bjoern Ottosson, 'A perceptual color space for image processing', 2020, bottosson.github.io/posts/oklab):
// on each side a straight line of equal steps, equally dark on both sides, so equal millimetres look equally far apart;
// blue against orange stays apart for the common colour-vision defects. The step at the limit is meant: the eye
// should see where the tolerance ends.
export type Rgb = [number, number, number]; // 0..1, sRGB

export interface OkLab {
  L: number;
  a: number;
  b: number;
}

export const polar = (L: number, chroma: number, hue_deg: number): OkLab => ({
  L,
  a: chroma * Math.cos((hue_deg * Math.PI) / 180),
  b: chroma * Math.sin((hue_deg * Math.PI) / 180),
});

const WITHIN: OkLab = { L: 0.84, a: 0, b: 0 };
const INSIDE = { near: polar(0.77, 0.06, 250), far: polar(0.38, 0.135, 262) };
const OUTSIDE = { near: polar(0.77, 0.09, 62), far: polar(0.38, 0.095, 45) };

function linearRgb({ L, a, b }: OkLab): Rgb {
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (L - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
}

const toSrgb = (u: number): number => (u <= 0.0031308 ? 12.92 * u : 1.055 * u ** (1 / 2.4) - 0.055);
export const toLinear = (u: number): number => (u <= 0.04045 ? u / 12.92 : ((u + 0.055) / 1.055) ** 2.4);

export const rgbOf = (lab: OkLab): Rgb => linearRgb(lab).map((part) => Math.min(1, Math.max(0, toSrgb(part)))) as Rgb;

export function okLabOf(rgb: Rgb): OkLab {
  const [r, g, b] = rgb.map(toLinear) as Rgb;
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return {
    L: 0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
    a: 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
    b: 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
  };
}

export const between = (from: OkLab, to: OkLab, share: number): OkLab => ({
  L: from.L + share * (to.L - from.L),
  a: from.a + share * (to.a - from.a),
  b: from.b + share * (to.b - from.b),
});

export interface Scale {
  limit_mm: number; // grey up to here, either way
  range_mm: number; // deepest colour from here on, either way
}

export function colourOf(deviation_mm: number, { limit_mm, range_mm }: Scale): Rgb {
  const size = Math.abs(deviation_mm);
  if (size <= limit_mm) return linearRgb(WITHIN).map(toSrgb) as Rgb;
  const arm = deviation_mm < 0 ? INSIDE : OUTSIDE;
  const share = Math.min(1, (size - limit_mm) / (range_mm - limit_mm));
  return linearRgb(between(arm.near, arm.far, share)).map(toSrgb) as Rgb;
}

export const TABLE_SIZE = 1024;

// One row of RGBA bytes from -range to +range, for the graphics card to look colours up in.
export function colourTable(scale: Scale): Uint8Array {
  const table = new Uint8Array(4 * TABLE_SIZE);
  for (let i = 0; i < TABLE_SIZE; i++) {
    const deviation = ((2 * (i + 0.5)) / TABLE_SIZE - 1) * scale.range_mm;
    colourOf(deviation, scale).forEach((value, k) => (table[4 * i + k] = Math.round(255 * value)));
    table[4 * i + 3] = 255;
  }
  return table;
}

// A round number at or above what has to be shown, and at least three limits, so that the grey stays a band.
export function scaleFor(limit_mm: number, largest_mm: number): Scale {
  const wanted = Math.max(3 * limit_mm, largest_mm, 1e-3);
  const power = 10 ** Math.floor(Math.log10(wanted));
  const step = [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].find((one) => one * power >= wanted * (1 - 1e-9)) ?? 10;
  return { limit_mm, range_mm: step * power };
}
