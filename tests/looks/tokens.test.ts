/**
 * The colours of both lights: contrast by WCAG 2.2 (1.4.3: 4.5:1 for text; 1.4.11: 3:1 for parts of controls), and
 * whether what colour tells is told to every kind of sight (dichromacies simulated as Machado, Oliveira and Fernandes
 * 2009 have it, by culori).
 */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { MIN_DIFFERENCE } from '../../shared/colour/advice.ts';
import { asSeenBy, colourDifference, contrast, SIGHTS } from '../../shared/colour/colour.ts';

const css = readFileSync(fileURLToPath(new URL('../../src/tokens.css', import.meta.url)), 'utf8');

/** The colour tokens of one light. */
function tokensOf(light: 'booth' | 'paper'): Record<string, string> {
  const block = new RegExp(`:root\\[data-theme='${light}'\\] \\{([^}]*)\\}`).exec(css)![1];
  return Object.fromEntries(
    [...block.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map(([, name, value]) => [name, value]),
  );
}

const GROUNDS = ['paper', 'panel', 'raised'] as const;
const TEXT = ['ink', 'muted', 'warn', 'accent'] as const;

describe.each(['booth', 'paper'] as const)('the %s light', (light) => {
  const tokens = tokensOf(light);

  it('has all of them', () => {
    expect(Object.keys(tokens)).toEqual(
      expect.arrayContaining([...GROUNDS, ...TEXT, 'on-accent', 'line-strong', 'playhead', 'thread']),
    );
  });

  it.each(SIGHTS)('text stands out from every ground, as a %s sees it', (sight) => {
    const seen = (name: string) => asSeenBy(tokens[name], sight);
    for (const ground of GROUNDS) {
      for (const text of TEXT) {
        expect(contrast(seen(text), seen(ground)), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5);
      }
    }
    expect(contrast(seen('on-accent'), seen('accent')), 'pressed buttons').toBeGreaterThanOrEqual(4.5);
  });

  it.each(SIGHTS)('edges of controls and what shows the focus stand out, as a %s sees them', (sight) => {
    const seen = (name: string) => asSeenBy(tokens[name], sight);
    for (const part of ['line-strong', 'accent']) {
      for (const ground of GROUNDS) {
        expect(contrast(seen(part), seen(ground)), `${part} on ${ground}`).toBeGreaterThanOrEqual(3);
      }
    }
  });

  it.each(SIGHTS)('a warning is not taken for what is chosen, as a %s sees them', (sight) => {
    // Words and signs say the same: colour is not the only carrier.
    expect(colourDifference(tokens.warn, tokens.accent, sight)).toBeGreaterThan(MIN_DIFFERENCE);
  });
});
