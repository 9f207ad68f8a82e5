/**
 * Colours as strings in, concrete sRGB out, and the two measures that the palettes are judged by: CIEDE2000
 * between two colours, also as a person with a colour deficiency sees them, and the contrast of WCAG 2.
 */
import {
  clampChroma,
  converter,
  differenceCiede2000,
  filterDeficiencyDeuter,
  filterDeficiencyProt,
  filterDeficiencyTrit,
  formatHex,
  interpolate,
  parse,
  wcagContrast,
} from 'culori';
import type { Color, Rgb } from 'culori';

/** `typical` is no deficiency; the others are complete dichromacies (Machado, Oliveira, Fernandes 2009). */
export const SIGHTS = ['typical', 'protan', 'deutan', 'tritan'] as const;
export type Sight = (typeof SIGHTS)[number];

const FILTERS: Record<Sight, (colour: Rgb) => Rgb> = {
  typical: (colour) => colour,
  protan: filterDeficiencyProt(1),
  deutan: filterDeficiencyDeuter(1),
  tritan: filterDeficiencyTrit(1),
};

const ciede2000 = differenceCiede2000();

/** Reads a hex or `oklch()` string, or null when it is not a colour. */
export function readColour(text: string): Color | null {
  return parse(text) ?? null;
}

/** The nearest sRGB colour of the same lightness and hue, as `#rrggbb`. Throws when `text` is no colour. */
export function toHex(text: string | Color): string {
  const colour = typeof text === 'string' ? readColour(text) : text;
  if (!colour) throw new RangeError(`"${String(text)}" is not a colour.`);
  return formatHex(clampChroma(colour, 'oklch', 'rgb'));
}

const linear = converter('lrgb');

/**
 * `#rrggbb` as a person with that sight sees it. The matrices hold for linear light, while the library applies
 * them to whatever numbers stand in an `rgb` colour; so it is handed the linear ones.
 */
export function asSeenBy(text: string, sight: Sight): string {
  const { r, g, b } = linear(toHex(text)) ?? { r: 0, g: 0, b: 0 };
  const seen = FILTERS[sight]({ mode: 'rgb', r, g, b });
  return formatHex({ ...seen, mode: 'lrgb' });
}

/** CIEDE2000 between two colours as a person with that sight sees them; about 2.3 is just noticeable. */
export function colourDifference(a: string, b: string, sight: Sight = 'typical'): number {
  return ciede2000(asSeenBy(a, sight), asSeenBy(b, sight));
}

/** Contrast ratio of WCAG 2.2, from 1 to 21. */
export function contrast(a: string, b: string): number {
  return wcagContrast(toHex(a), toHex(b));
}

/**
 * `steps` colours from the first stop to the last, evenly spaced in OKLCH (the shorter way round the hue).
 * One step gives the middle of the scale.
 */
export function ramp(stops: readonly string[], steps: number): string[] {
  const at = interpolate(
    stops.map((stop) => readColour(stop) ?? stop),
    'oklch',
  );
  return Array.from({ length: steps }, (_, i) => toHex(at(steps === 1 ? 0.5 : i / (steps - 1))));
}
