/**
 * What a display shows, and nothing more: the only thing that painting and every judgement about what can be
 * seen may work on. Heights and colours are already reduced to the steps that the deck has.
 */

/** How a set of columns is coloured. `plain` is one flat colour. */
export type ColumnKind = 'three-band' | 'tint' | 'single' | 'plain';

export interface DisplayColumns {
  kind: ColumnKind;
  /** Time of the left edge of column 0, s; a multiple of the column's width, so that scrolling does not shimmer. */
  startTime: number;
  secondsPerColumn: number;
  count: number;
  /** Heights are integers 0..heightSteps. */
  heightSteps: number;
  /**
   * heights[layer][column]. `three-band` has three layers (bass, middle, treble), the other kinds one.
   */
  heights: Uint16Array[];
  /** Colour index 0..colourSteps-1 per column (all 0 where the kind has one colour or colours by layer). */
  colours: Uint8Array;
  colourSteps: number;
  /** Grid lines that the deck draws on these columns; empty where it draws none. */
  gridLines: GridLine[];
}

export interface GridLine {
  /** s */
  time: number;
  /** `beat` where the deck does not tell bars from beats. */
  kind: 'beat' | 'downbeat';
}

/** Which part of a track a scrolling display is asked for. */
export interface DisplayView {
  /** s */
  startTime: number;
  /** s */
  endTime: number;
  /** Index into the profile's zoom stops. */
  zoomStop: number;
  /** Most columns that can be told apart by whoever looks (pixels); columns beyond it are joined. */
  maxColumns: number;
}
