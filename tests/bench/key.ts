/** The key stage: how often it is right, and whether its confidence means what it says. */
import { renderPattern } from '../../demo/pattern.ts';
import type { LoopStyle } from '../../demo/arrange/loops.ts';
import { renderTrack } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { PIECE_FRAMES } from '../../workers/analyse.ts';
import { createStages } from '../../workers/stages/index.ts';
import { estimateKey } from '../../workers/stages/key/index.ts';
import { drawVariedPiece, gridOfPiece, harmonyOf, keyNameOf, render } from '../key/pieces.ts';
import { CALIBRATION_HEAD, calibrationRows, type Said } from './logistic.ts';
import type { Bench, Table } from './table.ts';

/** Seeds that the fit did not see. */
const FIRST_SEED = 3000;
const PIECES = 200;
const PATTERNS = 40;
const STYLES: LoopStyle[] = ['house', 'techno', 'breakbeat', 'half-time'];

/** Key of a rendered track, by the stages and with the grid that they find. */
function keyOf(channels: Float32Array[], sampleRate: number) {
  const stages = createStages({ sampleRate, channels: channels.length });
  for (let i = 0; i < channels[0].length; i += PIECE_FRAMES) {
    const piece = channels.map((c) => c.subarray(i, i + PIECE_FRAMES));
    stages.grid.push(piece);
    stages.harmony.push(piece);
  }
  return estimateKey(stages.harmony.finish(), stages.grid.finish());
}

/** Black keys have two spellings; the demo and the key stage do not always choose the same. */
const FLATS: Record<string, string> = { 'C♯': 'D♭', 'D♯': 'E♭', 'F♯': 'G♭', 'G♯': 'A♭', 'A♯': 'B♭' };

function sameKey(a: string | undefined, b: string | null): boolean {
  const plain = (name: string) => name.replace(/^[A-G]♯/, (tonic) => FLATS[tonic] ?? tonic);
  return a !== undefined && b !== null && plain(a) === plain(b);
}

function pieces(): Said[] {
  return Array.from({ length: PIECES }, (_, i) => {
    const piece = drawVariedPiece(FIRST_SEED + i);
    const key = estimateKey(harmonyOf(render(piece)), gridOfPiece(piece));
    return { confidence: key?.confidence ?? 0, right: key?.name === keyNameOf(piece.tonic, piece.minor) };
  });
}

/** From another synthesiser, through the grid that is really found. */
function patterns(): Said[] {
  return Array.from({ length: PATTERNS }, (_, i) => {
    const bpm = 100 + ((37 * i) % 60);
    const { left, right, sampleRate, truth } = renderPattern({
      style: STYLES[i % STYLES.length],
      bpm,
      seconds: 75,
      seed: FIRST_SEED + i,
    });
    const key = keyOf([left, right], sampleRate);
    return { confidence: key?.confidence ?? 0, right: sameKey(key?.name, truth.key) };
  });
}

function tracks(): Table {
  return {
    title: 'Key of the demo tracks',
    head: ['track', 'true', 'found', 'confidence'],
    rows: SCENARIO.tracks.map((spec) => {
      const { left, right, sampleRate, truth } = renderTrack(spec);
      const key = keyOf([left, right], sampleRate);
      return [spec.id, truth.key ?? '–', key?.name ?? '–', (key?.confidence ?? 0).toFixed(2)];
    }),
  };
}

export const keyBench: Bench = {
  name: 'key',
  run: async () => [
    {
      title: `Confidence in the key, ${PIECES} generated pieces that the fit did not see`,
      head: CALIBRATION_HEAD,
      rows: calibrationRows(pieces()),
    },
    {
      title: `The same, ${PATTERNS} patterns of the demo's synthesiser, with the grid as found`,
      head: CALIBRATION_HEAD,
      rows: calibrationRows(patterns()),
    },
    tracks(),
  ],
};
