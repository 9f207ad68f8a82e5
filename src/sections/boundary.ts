/** How a boundary between two sections is drawn. */

/** Width of the line of a boundary that nothing tells apart, and of the sharpest one, CSS pixels. */
const THINNEST = 2;
const THICKEST = 6;

/**
 * @param strength 0..1
 * @returns width of the boundary's line, whole CSS pixels: the sharper, the thicker
 */
export function lineWidth(strength: number): number {
  const share = Math.min(1, Math.max(0, strength));
  return THINNEST + Math.round(share * (THICKEST - THINNEST));
}
