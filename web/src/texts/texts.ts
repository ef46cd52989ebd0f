// The catalogue in use, and numbers and times as its language writes them. A further language is a file beside en.ts
// that holds a Catalogue, and one line here.
import { en, type Catalogue } from './en';

const catalogues: Record<string, Catalogue> = { en };

const asked = typeof navigator === 'undefined' ? ['en'] : navigator.languages;
export const language = asked.map((tag) => tag.slice(0, 2).toLowerCase()).find((tag) => tag in catalogues) ?? 'en';
export const t: Catalogue = catalogues[language] ?? en;

// Dates and numbers as this device's own country writes the language.
const locale = asked.find((tag) => tag.toLowerCase().startsWith(language)) ?? language;

const written = (digits: number, sign: 'auto' | 'exceptZero') =>
  new Intl.NumberFormat(locale, { minimumFractionDigits: digits, maximumFractionDigits: digits, signDisplay: sign });

const plain = [0, 1, 2, 3].map((digits) => written(digits, 'auto'));
const signs = [0, 1, 2, 3].map((digits) => written(digits, 'exceptZero'));

type Digits = 0 | 1 | 2 | 3;
// A true minus sign, which reads better at small sizes than the hyphen.
const minus = (text: string): string => text.replace('-', '\u2212');
// The service leaves out what it cannot tell; a dash says so.
const TOLD_NOTHING = '\u2013';
export const number = (value: number | undefined, digits: Digits = 2): string =>
  value === undefined ? TOLD_NOTHING : minus(plain[digits]!.format(value));
export const signed = (value: number | undefined, digits: Digits = 2): string =>
  value === undefined ? TOLD_NOTHING : minus(signs[digits]!.format(value));
// A figure stands beside the half-width of its 95 % interval, both to the digit the half-width is worth: never "± 0.00",
// which nothing is.
export const digitsFor = (u95: number | undefined): Digits => (u95 !== undefined && u95 < 0.01 ? 3 : 2);
export const plusMinus = (u95: number | undefined, digits = digitsFor(u95)): string =>
  `±\u00a0${number(u95 === undefined ? u95 : Math.max(u95, 10 ** -digits), digits)}`;
export const percent = (share: number | undefined): string =>
  share === undefined ? TOLD_NOTHING : `${number(100 * share, share > 0 && share < 0.01 ? 1 : 0)}\u00a0%`;
// With a digit more below a tenth: for shares that are held against a limit of a few per cent.
export const finePercent = (value: number): string => `${number(100 * value, value < 0.1 && value > 0 ? 1 : 0)}\u00a0%`;

const clock = new Intl.DateTimeFormat(locale, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
const weekday = new Intl.DateTimeFormat(locale, { weekday: 'short', day: 'numeric', month: 'short' });
const day = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'short', year: 'numeric' });
export const timeOfDay = (iso: string): string => clock.format(new Date(iso));
export const dayAndTime = (iso: string): string => `${day.format(new Date(iso))}, ${timeOfDay(iso)}`;
export const shortDay = (iso: string): string => `${weekday.format(new Date(iso))}, ${timeOfDay(iso)}`;
