/** How finely a display shows levels. */
import { BANDS } from '../bands.ts';
import type { ColumnKind } from './columns.ts';

/** What a display can tell apart: the only facts that reach the columns. */
export interface Resolution {
  kind: ColumnKind;
  heightSteps: number;
  colourSteps: number;
}

/** Colour steps that a kind has: those coloured by layer, and the flat one, have one. */
export const coloursOf = (kind: ColumnKind, steps: number): number =>
  kind === 'tint' || kind === 'single' ? steps : 1;

/** Layers of heights that a kind has. */
export const layersOf = (kind: ColumnKind): number => (kind === 'three-band' ? BANDS.length : 1);

/** Which of the pyramid's layers a layer of heights is read from: the whole signal where there is only one. */
export const levelLayer = (kind: ColumnKind, layer: number): number =>
  kind === 'three-band' ? layer : BANDS.length;
