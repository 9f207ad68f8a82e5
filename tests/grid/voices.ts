/** One-shot voices of the generated songs: mono, each begins at its onset sample. */
import { Random } from './random.ts';

export const RATE = 44100;
const samples = (seconds: number) => Math.max(1, Math.round(seconds * RATE));

export function kick(r: Random): Float32Array {
  const out = new Float32Array(samples(r.range(0.14, 0.45)));
  const low = r.range(42, 62);
  const sweep = r.range(80, 320);
  const sweepDecay = r.range(0.012, 0.045);
  const decay = out.length / RATE / r.range(2.5, 4);
  const click = r.range(0, 0.35);
  const attack = r.range(0.0004, 0.003);
  let phase = r.range(0, 0.4);
  for (let i = 0; i < out.length; i++) {
    const t = i / RATE;
    phase += (2 * Math.PI * (low + sweep * Math.exp(-t / sweepDecay))) / RATE;
    const noise = click * (r.next() * 2 - 1) * Math.exp(-t / 0.003);
    out[i] = (Math.sin(phase) * Math.exp(-t / decay) + noise) * Math.min(1, t / attack);
  }
  return fade(out);
}

export function snare(r: Random): Float32Array {
  const out = new Float32Array(samples(r.range(0.12, 0.25)));
  const hz = r.range(165, 230);
  const tone = r.range(0.1, 0.7);
  const decay = r.range(0.03, 0.09);
  let last = 0;
  for (let i = 0; i < out.length; i++) {
    const t = i / RATE;
    const white = r.next() * 2 - 1;
    const noise = white - 0.5 * last;
    last = white;
    out[i] =
      (0.6 * noise * Math.exp(-t / decay) + tone * Math.sin(2 * Math.PI * hz * t) * Math.exp(-t / 0.05)) *
      Math.min(1, t / 0.0008);
  }
  return fade(out);
}

/** A clap: three or four short bursts before the tail, as hands are never together. */
export function clap(r: Random): Float32Array {
  const out = new Float32Array(samples(0.22));
  const gap = r.range(0.007, 0.012);
  let last = 0;
  for (let i = 0; i < out.length; i++) {
    const t = i / RATE;
    const burst = t < 3 * gap ? Math.exp(-(t % gap) / 0.004) : Math.exp(-(t - 3 * gap) / 0.06);
    const white = r.next() * 2 - 1;
    out[i] = (white - 0.6 * last) * burst * 0.6;
    last = white;
  }
  return fade(out);
}

export function hat(r: Random, seconds: number): Float32Array {
  const out = new Float32Array(samples(seconds));
  const decay = seconds / 3;
  let a = 0;
  let b = 0;
  for (let i = 0; i < out.length; i++) {
    const white = r.next() * 2 - 1;
    out[i] = (white - 2 * a + b) * 0.25 * Math.exp(-i / RATE / decay);
    b = a;
    a = white;
  }
  return fade(out);
}

/** A low note: saw through a one-pole low-pass, with a soft attack as synthesisers have. */
export function bass(r: Random, hz: number, seconds: number, brightHz: number, attack: number): Float32Array {
  const out = new Float32Array(samples(seconds));
  const k = 1 - Math.exp((-2 * Math.PI * brightHz) / RATE);
  let phase = r.next();
  let y = 0;
  let z = 0;
  for (let i = 0; i < out.length; i++) {
    phase = (phase + hz / RATE) % 1;
    y += k * (2 * phase - 1 - y);
    z += k * (y - z);
    const t = i / RATE;
    out[i] = z * Math.min(1, t / attack) * Math.min(1, (seconds - t) / 0.02);
  }
  return out;
}

/** A chord of saws (pad with a slow attack, stab with a quick one). */
export function chord(
  r: Random,
  notesHz: number[],
  seconds: number,
  brightHz: number,
  attack: number,
): Float32Array {
  const out = new Float32Array(samples(seconds));
  for (const hz of notesHz) {
    for (const detune of [0.997, 1.004]) {
      let phase = r.next();
      const step = (hz * detune) / RATE;
      for (let i = 0; i < out.length; i++) {
        phase += step;
        if (phase >= 1) phase -= 1;
        out[i] += (2 * phase - 1) / notesHz.length / 2;
      }
    }
  }
  const k = 1 - Math.exp((-2 * Math.PI * brightHz) / RATE);
  let y = 0;
  for (let i = 0; i < out.length; i++) {
    y += k * (out[i] - y);
    const t = i / RATE;
    out[i] = y * Math.min(1, t / attack) * Math.min(1, (seconds - t) / 0.03);
  }
  return out;
}

function fade(out: Float32Array): Float32Array {
  const n = Math.min(out.length, 200);
  for (let i = 0; i < n; i++) out[out.length - 1 - i] *= i / n;
  return out;
}
