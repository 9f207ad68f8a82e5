/** What happens to whole buses: ducking, filter sweeps, the final clipper. */
import { StateVariableFilter } from './filter.ts';
import { softClip } from './shape.ts';
import { sides, type Voice } from './voice.ts';

const DUCK_ATTACK = 0.003;
const WARM_UP = 0.2;

/**
 * Dips `bus` at every kick and lets it come back by the time `release` (s) has passed: side-chain pumping.
 * @param kicks sample positions, rising
 * @param depth 0..1: how much is taken away
 */
export function duck(
  bus: Voice,
  rate: number,
  kicks: readonly number[],
  depth: number,
  release: number,
): void {
  const attack = Math.max(1, Math.round(DUCK_ATTACK * rate));
  const curve = new Float32Array(Math.round(release * rate));
  for (let i = 0; i < curve.length; i++) {
    const back = (i - attack) / (curve.length - attack);
    const dip = i < attack ? i / attack : 0.5 + 0.5 * Math.cos(Math.PI * back ** 0.8);
    curve[i] = 1 - depth * dip;
  }
  kicks.forEach((start, n) => {
    const end = Math.min(bus.left.length, start + curve.length, kicks[n + 1] ?? Infinity);
    for (const side of sides(bus)) for (let i = start; i < end; i++) side[i] *= curve[i - start];
  });
}

/** A low-pass that opens or closes over a stretch of samples. */
export interface Sweep {
  from: number;
  to: number;
  fromHz: number;
  toHz: number;
}

/** Applies one sweep to the bus. */
export function sweep(bus: Voice, rate: number, { from, to, fromHz, toHz }: Sweep): void {
  const start = Math.max(0, from - Math.round(WARM_UP * rate));
  const end = Math.min(to, bus.left.length);
  for (const side of sides(bus)) {
    const filter = new StateVariableFilter(rate, fromHz, 1.1);
    for (let i = start; i < end; i++) {
      if (i % 64 === 0 && i >= from) filter.set(fromHz * (toHz / fromHz) ** ((i - from) / (to - from)), 1.1);
      filter.push(side[i]);
      if (i >= from) side[i] = filter.low;
    }
  }
}

/** Drives the mix into the clipper and brings its largest sample to `peak`. */
export function finish(mix: Voice, drive: number, peak: number): void {
  let top = 0;
  for (const side of sides(mix)) {
    for (let i = 0; i < side.length; i++) {
      const x = softClip(side[i] * drive);
      side[i] = x;
      if (x > top) top = x;
      else if (-x > top) top = -x;
    }
  }
  if (top === 0) return;
  const gain = peak / top;
  for (const side of sides(mix)) for (let i = 0; i < side.length; i++) side[i] *= gain;
}
