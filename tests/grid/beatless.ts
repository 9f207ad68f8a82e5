/** Generated sounds without a steady beat. */
import { Random } from './random.ts';
import { chord, RATE } from './voices.ts';

export const BEATLESS = ['silence', 'noise', 'ambient', 'speech', 'rain', 'rubato'] as const;
export type Beatless = (typeof BEATLESS)[number];

export function makeBeatless(kind: Beatless, seconds: number, seed: number): Float32Array {
  const r = new Random(seed * 31 + kind.length);
  const out = new Float32Array(Math.round(seconds * RATE));
  const put = (voice: Float32Array, time: number, gain: number) => {
    const from = Math.round(time * RATE);
    for (let i = 0; i < voice.length && from + i < out.length; i++) out[from + i] += gain * voice[i];
  };
  switch (kind) {
    case 'silence':
      break;
    case 'noise':
      for (let i = 0; i < out.length; i++) out[i] = 0.2 * (2 * r.next() - 1);
      break;
    case 'ambient':
      for (let t = 0; t < seconds; t += r.range(3, 9)) {
        const root = 55 * 2 ** (r.int(0, 24) / 12);
        put(
          chord(r, [root, root * 1.5, root * 2.4], r.range(6, 12), r.range(300, 1500), r.range(1, 3)),
          t,
          0.3,
        );
      }
      break;
    case 'speech':
      // Syllables of a voiced buzz and hiss in phrases with pauses: lengths after ordinary talk, an estimate.
      for (let t = 0.3; t < seconds; t += r.chance(0.12) ? r.range(0.4, 1.4) : 0) {
        const length = r.range(0.09, 0.28);
        put(syllable(r, length), t, r.range(0.2, 0.6));
        t += length + r.range(0, 0.06);
      }
      break;
    case 'rain':
      for (let t = 0; t < seconds; t += -Math.log(1 - r.next()) / 12) put(drop(r), t, r.range(0.05, 0.5));
      break;
    case 'rubato':
      // Plucked notes whose intervals wander by tens of per cent.
      for (let t = 0.5; t < seconds; t += r.range(0.25, 0.9)) {
        put(chord(r, [110 * 2 ** (r.int(0, 24) / 12)], r.range(0.3, 1), 2000, 0.004), t, 0.4);
      }
      break;
  }
  return out;
}

function syllable(r: Random, seconds: number): Float32Array {
  const out = new Float32Array(Math.round(seconds * RATE));
  const pitch = r.range(90, 180);
  const hiss = r.chance(0.3);
  let y = 0;
  const k = r.range(0.05, 0.2);
  for (let i = 0; i < out.length; i++) {
    const buzz = ((i * pitch) / RATE) % 1 < 0.3 ? 1 : -0.4;
    y += k * ((hiss ? 2 * r.next() - 1 : buzz) - y);
    out[i] = y * Math.sin((Math.PI * i) / out.length);
  }
  return out;
}

function drop(r: Random): Float32Array {
  const hz = r.range(800, 5000);
  return Float32Array.from({ length: 900 }, (_, i) => Math.sin((i * hz * 6.28) / RATE) * Math.exp(-i / 150));
}
