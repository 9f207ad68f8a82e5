/** From a profile's palette to the concrete colours that DisplayColumns index. */
import type { ColumnKind } from '../display/columns.ts';
import type { Palette } from '../profile/schema.ts';
import { ramp, toHex } from './colour.ts';

/**
 * The colours of one kind of display, as `#rrggbb`.
 * `three-band`: bass, middle, treble whatever `steps` says. `plain`: the overview's colour. `tint` and
 * `single`: `steps` colours along the palette's scale, indexed by `DisplayColumns.colours`.
 */
export function rampFor(palette: Palette, kind: ColumnKind, steps: number): string[] {
  switch (kind) {
    case 'three-band':
      return [palette.bass, palette.middle, palette.treble].map(toHex);
    case 'plain':
      return [toHex(palette.overview)];
    case 'tint':
      return ramp([palette.tintLow, palette.tintMid, palette.tintHigh], steps);
    case 'single':
      return ramp([palette.singleDark, palette.singleLight], steps);
  }
}
