/**
 * Colours: the measures against published numbers, and the shipped palettes by these measures.
 */
import { differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  MIN_CONTRAST,
  MIN_DIFFERENCE,
  TOGETHER,
  adviceSentence,
  paletteAdvice,
} from '../../shared/colour/advice.ts';
import {
  SIGHTS,
  asSeenBy,
  colourDifference,
  contrast,
  ramp,
  readColour,
  toHex,
} from '../../shared/colour/colour.ts';
import { rampFor } from '../../shared/colour/ramp.ts';
import { shippedFile, shippedNames } from './files.ts';

const palettes = shippedNames.map((name) => [name, shippedFile(name.replace('.json', '')).palette] as const);

describe('the measures', () => {
  // Sharma, Wu, Dalal 2005, "The CIEDE2000 color-difference formula", table 1 (numbers from memory).
  it.each([
    [[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425],
    [[50, 3.1571, -77.2803], [50, 0, -82.7485], 2.8615],
    [[50, -1.3802, -84.2814], [50, 0, -82.7485], 1.0],
    [[50, 2.5, 0], [50, 0, -2.5], 4.3065],
    [[50, 2.5, 0], [73, 25, -18], 27.1492],
    [[50, 2.5, 0], [58, 24, 15], 19.4535],
    [[60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644],
    [[2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082],
  ])('CIEDE2000 of %j and %j is %f', (a, b, expected) => {
    const lab = ([l, x, y]: number[]) => ({ mode: 'lab65' as const, l, a: x, b: y });
    expect(differenceCiede2000()(lab(a), lab(b))).toBeCloseTo(expected, 4);
  });

  // WCAG 2.2: black on white is 21:1; #767676 is the lightest grey that reaches 4.5:1 on white.
  it('contrast follows WCAG', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
    expect(contrast('#767676', '#ffffff')).toBeGreaterThanOrEqual(4.5);
    expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5);
  });

  it('simulation leaves greys alone and takes away what each sight lacks', () => {
    for (const sight of SIGHTS) {
      expect(colourDifference('#808080', asSeenBy('#808080', sight))).toBeLessThan(1);
      expect(asSeenBy('#ffffff', sight)).toBe('#ffffff');
    }
    // A red and a green chosen to be confused by a deutan, a blue and a green by a tritan.
    expect(colourDifference('#b86a4a', '#8a8040', 'typical')).toBeGreaterThan(20);
    expect(colourDifference('#b86a4a', '#8a8040', 'deutan')).toBeLessThan(10);
    // Machado, Oliveira, Fernandes 2009, table 1, protanomaly of severity 1, first column, in linear light.
    expect(asSeenBy('#ff0000', 'protan')).toBe(toHex('color(srgb-linear 0.152286 0.114503 0)'));
  });
});

describe('reading colours', () => {
  it('knows hex and oklch and refuses the rest', () => {
    expect(toHex('#C05A2B')).toBe('#c05a2b');
    expect(toHex('oklch(1 0 0)')).toBe('#ffffff');
    expect(readColour('no colour')).toBeNull();
    expect(() => toHex('no colour')).toThrow(RangeError);
  });

  it('brings a colour that no screen has to the nearest of its lightness and hue', () => {
    const wild = readColour(toHex('oklch(0.7 0.5 150)'));
    const mild = readColour(toHex('oklch(0.7 0.1 150)'));
    expect(wild).not.toEqual(mild);
    expect(colourDifference(toHex('oklch(0.7 0.5 150)'), 'oklch(0.7 0.22 150)')).toBeLessThan(2);
  });
});

describe('ramps', () => {
  it('have as many colours as steps, from end to end', () => {
    for (const [, palette] of palettes) {
      expect(rampFor(palette, 'three-band', 9)).toEqual(
        [palette.bass, palette.middle, palette.treble].map((c) => toHex(c)),
      );
      expect(rampFor(palette, 'plain', 9)).toEqual([toHex(palette.overview)]);
      for (const steps of [2, 3, 12, 48]) {
        const tint = rampFor(palette, 'tint', steps);
        expect(tint).toHaveLength(steps);
        expect([tint[0], tint[steps - 1]]).toEqual([toHex(palette.tintLow), toHex(palette.tintHigh)]);
        const single = rampFor(palette, 'single', steps);
        expect([single[0], single[steps - 1]]).toEqual([
          toHex(palette.singleDark),
          toHex(palette.singleLight),
        ]);
      }
      expect(rampFor(palette, 'tint', 3)[1]).toBe(toHex(palette.tintMid));
      expect(rampFor(palette, 'tint', 1)).toEqual([toHex(palette.tintMid)]);
    }
  });

  it('grow lighter from dark to light without a step back', () => {
    const lightness = (hex: string) => contrast(hex, '#000000');
    for (const [, palette] of palettes) {
      const steps = rampFor(palette, 'single', 12).map(lightness);
      expect(steps).toEqual([...steps].sort((a, b) => a - b));
    }
  });

  it('are always valid hex colours', () => {
    const colour = fc
      .tuple(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 0.4, noNaN: true }),
        fc.nat(360),
      )
      .map(([l, c, h]) => `oklch(${l.toFixed(3)} ${c.toFixed(3)} ${h})`);
    fc.assert(
      fc.property(colour, colour, fc.integer({ min: 1, max: 64 }), (a, b, steps) => {
        const colours = ramp([a, b], steps);
        expect(colours).toHaveLength(steps);
        for (const each of colours) expect(each).toMatch(/^#[0-9a-f]{6}$/);
      }),
    );
  });
});

describe.each(palettes)('the palette of %s', (_, palette) => {
  it.each(SIGHTS)('keeps the colours of each display apart for %s sight', (sight) => {
    for (const roles of TOGETHER) {
      for (const a of roles) {
        for (const b of roles) {
          if (a === b) continue;
          expect(colourDifference(palette[a], palette[b], sight), `${a} and ${b}`).toBeGreaterThanOrEqual(
            MIN_DIFFERENCE,
          );
        }
      }
    }
  });

  // WCAG 2.2, 1.4.11 Non-text Contrast.
  it('stands out from its background, every step of every ramp', () => {
    const { background, grid, downbeat } = palette;
    const drawn = [
      ...rampFor(palette, 'three-band', 1),
      ...rampFor(palette, 'tint', 24),
      ...rampFor(palette, 'single', 24),
      ...rampFor(palette, 'plain', 1),
      grid,
      downbeat,
    ];
    for (const colour of drawn)
      expect(contrast(colour, background), colour).toBeGreaterThanOrEqual(MIN_CONTRAST);
  });

  it('gets no advice', () => {
    expect(paletteAdvice(palette)).toEqual([]);
  });
});

describe('advice', () => {
  const palette = palettes[0][1];

  it('names the colour that is too near to the background', () => {
    const advice = paletteAdvice({ ...palette, grid: palette.background });
    expect(advice).toEqual([{ about: 'contrast', role: 'grid', ratio: 1 }]);
    expect(adviceSentence(advice[0], (role) => role)).toBe(
      '“grid” stands out from the background by only 1.0:1; 3:1 or more can be seen well.',
    );
  });

  it('names the pair, and the sight that tells it apart least', () => {
    // Two colours of one lightness that differ in red against green alone.
    const advice = paletteAdvice({ ...palette, bass: '#b86a4a', middle: '#8a8040' });
    const pair = advice.find((each) => each.about === 'difference');
    expect(pair).toMatchObject({ roles: ['bass', 'middle'], sight: 'deutan' });
    expect(pair && adviceSentence(pair, (role) => role)).toContain('deutan');
  });
});
