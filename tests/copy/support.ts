/** Signals, copies of them, and how they are measured. */
import { bytesSource } from '../../workers/decode/source.ts';
import type { ByteSource } from '../../workers/decode/types.ts';
import { prepareCopy, type CopyOptions } from '../../workers/copy/copy.ts';
import type { CopyReport, CopyWish } from '../../workers/copy/types.ts';
import { joinBytes } from '../../workers/write/parts.ts';
import { decodeBytes } from '../fixtures/decoded.ts';
import { floatWav } from '../fixtures/signal.ts';

export const fromDb = (db: number) => 10 ** (db / 20);

export const sine = (frequency: number, amplitude: number, rate: number, frames: number) =>
  Float32Array.from({ length: frames }, (_, i) => amplitude * Math.sin((2 * Math.PI * frequency * i) / rate));

export async function copied(
  source: ByteSource,
  wish: CopyWish,
  options: CopyOptions = {},
): Promise<{ bytes: Uint8Array; report: CopyReport; pieces: number[] }> {
  const copy = await prepareCopy(source, wish, options);
  const pieces: Uint8Array[] = [];
  for await (const piece of copy.bytes()) pieces.push(piece);
  const bytes = joinBytes(pieces);
  if (bytes.length !== copy.size) throw new Error(`${bytes.length} bytes instead of ${copy.size}`);
  return { bytes, report: copy.report, pieces: pieces.map((p) => p.length) };
}

/** The copy of float samples, decoded again. */
export async function throughCopy(
  samples: Float32Array[],
  rate: number,
  wish: CopyWish,
  options: CopyOptions = {},
): Promise<{ samples: Float32Array[]; report: CopyReport }> {
  const source = bytesSource(floatWav(samples, rate), 'tone.wav');
  const { bytes, report } = await copied(source, wish, options);
  return { samples: (await decodeBytes(bytes, report.fileName)).samples, report };
}

/** Amplitude and phase of one frequency by least squares over [from, to), and what is left beside it. */
export function fitSine(x: Float32Array, frequency: number, rate: number, from: number, to: number) {
  // Normal equations of a·sin + b·cos + c.
  const m = Array.from({ length: 3 }, () => new Float64Array(4));
  for (let i = from; i < to; i++) {
    const angle = (2 * Math.PI * frequency * i) / rate;
    const row = [Math.sin(angle), Math.cos(angle), 1];
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) m[r][c] += row[r] * row[c];
      m[r][3] += row[r] * x[i];
    }
  }
  for (let p = 0; p < 3; p++) {
    for (let r = 0; r < 3; r++) {
      if (r === p) continue;
      const factor = m[r][p] / m[p][p];
      for (let c = p; c < 4; c++) m[r][c] -= factor * m[p][c];
    }
  }
  const [a, b, offset] = m.map((row, i) => row[3] / row[i]);
  let power = 0;
  for (let i = from; i < to; i++) {
    const angle = (2 * Math.PI * frequency * i) / rate;
    power += (x[i] - a * Math.sin(angle) - b * Math.cos(angle) - offset) ** 2;
  }
  return {
    amplitudeDb: 20 * Math.log10(Math.hypot(a, b)),
    phase: Math.atan2(b, a),
    /** dBFS as AES17 counts: a sine of full scale, whose power is 1/2, is 0. */
    restDb: 10 * Math.log10(power / (to - from) / 0.5),
  };
}
