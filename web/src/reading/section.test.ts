import { describe, expect, it } from 'vitest';
import type { Polyline, Section } from '../api/types';
import { barLength, drawSection, hasUnseen, strayedLines } from './section';

const ring = (radius: number, turn: (angle: number) => number = () => 0, n = 72): Polyline => ({
  closed: true,
  points_mm: Array.from({ length: n }, (_, i) => {
    const angle = (2 * Math.PI * i) / n;
    const r = radius + turn(angle);
    return [r * Math.cos(angle), r * Math.sin(angle)];
  }),
});

describe('the section along the parting face', () => {
  it('is outside where the measured outline lies outside the core, inside where it lies within', () => {
    const section: Section = { design: [ring(50)], measured: [ring(50, (a) => 0.5 * Math.cos(a))] };
    const line = strayedLines(section)[0]!;
    expect(line[0]!.stray_mm).toBeCloseTo(0.5);
    expect(line[36]!.stray_mm).toBeCloseTo(-0.5);
  });
  it('knows that more sand in a bored hole lies towards the hole’s middle', () => {
    const section: Section = { design: [ring(50), ring(10)], measured: [ring(50), ring(10, () => -0.4)] };
    expect(strayedLines(section)[1]!.every((one) => Math.abs(one.stray_mm - 0.4) < 1e-9)).toBe(true);
  });
  it('draws the deviation larger by the factor and the design as it is', () => {
    const section: Section = { design: [ring(50)], measured: [ring(50, () => 0.2)] };
    const lines = strayedLines(section);
    const [one, fifty] = [drawSection(section, lines, 1), drawSection(section, lines, 50)];
    expect(fifty.design).toBe(one.design);
    expect(fifty.outside.startsWith('M60.00 ')).toBe(true);
    expect(one.outside.startsWith('M50.20 ')).toBe(true);
    expect(fifty.worst!.stray_mm).toBeCloseTo(0.2);
    expect(fifty.box.width).toBeGreaterThan(120);
  });
  it('joins a side’s stretches into one line', () => {
    const section: Section = { design: [ring(50)], measured: [ring(50, () => 0.2)] };
    const drawing = drawSection(section, strayedLines(section), 1);
    expect(drawing.outside.match(/M/g)).toHaveLength(1);
    expect(drawing.inside).toBe('');
  });
  it('matches a measured outline with unseen gaps to the nearest place of the design', () => {
    const whole = ring(50, () => 0.3, 720);
    const section: Section = { design: [ring(50, () => 0, 720)], measured: [{ closed: false, points_mm: whole.points_mm.slice(10, 200) }] };
    for (const one of strayedLines(section)[0]!) expect(one.stray_mm).toBeCloseTo(0.3, 2);
  });
  it('leaves the measured line out where the scan saw nothing', () => {
    const measured = ring(50, () => 0.2);
    measured.points_mm = measured.points_mm.map((point, i) => (i >= 10 && i < 20 ? [null, null] : point));
    const section: Section = { design: [ring(50)], measured: [measured] };
    const stretches = strayedLines(section);
    expect(stretches.map((one) => one.length)).toEqual([10, 53]);
    expect(stretches.flat().every((one) => Math.abs(one.stray_mm - 0.2) < 1e-9)).toBe(true);
    expect(drawSection(section, stretches, 10).outside.match(/M/g)).toHaveLength(2);
    expect(hasUnseen(section)).toBe(true);
  });
  it('has a scale bar of a round length', () => {
    expect(barLength(300)).toBe(50);
    expect(barLength(90)).toBe(20);
    expect(barLength(41)).toBe(10);
  });
});
