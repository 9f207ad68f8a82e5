/** Heights of columns on vector instructions. */
import { vectorsOf } from '../simd/vectors.ts';
import {
  BEFORE,
  END,
  FIRST,
  HEIGHTS_AT,
  INPUT,
  MOST_COLUMNS,
  MOST_FINE,
  PEAK_AT,
  RATIO,
  RMS_AT,
  SETTINGS,
  SETTINGS_AT,
  TABLES,
  TABLES_AT,
  TABLE_BYTES,
  TO_INTEGER,
  heightsProgram,
} from './heights-program.ts';
import { heightTable } from './heights.ts';
import { plainHeights } from './plain-heights.ts';
import { levelLayer } from './resolution.ts';
import { firstFine } from './source.ts';

/** Fine columns that a run may read behind its own, beyond the length of two columns. */
const MARGIN = 8;

/**
 * Makes a function that does what `plainHeights` does.
 * @throws NoVectors where vector programs do not run
 */
export function vectorHeights(): typeof plainHeights {
  const { run, buffer } = vectorsOf(heightsProgram());
  const settings = new Float64Array(buffer, SETTINGS_AT, SETTINGS);
  const peaks = new Float32Array(buffer, PEAK_AT, MOST_FINE);
  const rms = new Float32Array(buffer, RMS_AT, MOST_FINE);
  const made = new Uint16Array(buffer, HEIGHTS_AT, MOST_COLUMNS);
  /** Heights of which display stand in which table; the one put there first makes room. */
  const steps: number[] = [];
  let turn = 0;

  /** Address of the table of heights 0..`heightSteps`. */
  const tableAt = (heightSteps: number): number => {
    let index = steps.indexOf(heightSteps);
    if (index < 0) {
      index = turn++ % TABLES;
      steps[index] = heightSteps;
      new Uint16Array(buffer, TABLES_AT + index * TABLE_BYTES).set(heightTable(heightSteps));
    }
    return TABLES_AT + index * TABLE_BYTES;
  };

  return (source, resolution, layer, from, to, heights) => {
    const { level, ratio } = source;
    const { length } = level;
    const most = Math.min(MOST_COLUMNS, Math.floor((MOST_FINE - MARGIN) / ratio) - 2);
    // Columns that are too wide for the program's memory are few.
    if (most < 1) return plainHeights(source, resolution, layer, from, to, heights);
    const at = levelLayer(resolution.kind, layer);
    const table = tableAt(resolution.heightSteps);
    settings[RATIO] = ratio;
    for (let column = from; column < to; column += most) {
      const stop = Math.min(to, column + most);
      const first = firstFine(column, ratio);
      const end = Math.min(length, Math.ceil(stop * ratio));
      if (end <= first) return;
      peaks.set(level.peak[at].subarray(first, end));
      rms.set(level.rms[at].subarray(first, end));
      settings[END] = end;
      settings[BEFORE] = column - 1;
      settings[FIRST] = column;
      settings[INPUT] = TO_INTEGER + PEAK_AT - first * Float32Array.BYTES_PER_ELEMENT;
      run(Math.ceil((stop - column) / 2), table);
      heights.set(made.subarray(0, stop - column), column);
    }
  };
}
