/** Drum sounds, each drawn anew for every track. */
import type { Random } from '../random.ts';
import { decay, Filter, filtered, inRoom, sound, white } from './sound.ts';

/** Deep and round, punchy, long like a tuned tom, or driven hard. */
export type KickKind = 'punch' | 'round' | 'boom' | 'hard';

export function kickDrum(kind: KickKind, r: Random): Float32Array {
  const length = {
    punch: r.range(0.18, 0.3),
    round: r.range(0.2, 0.35),
    boom: r.range(0.5, 1),
    hard: r.range(0.2, 0.32),
  };
  const seconds = length[kind];
  const floor = r.range(40, 58);
  const top = {
    punch: r.range(200, 420),
    round: r.range(60, 120),
    boom: r.range(90, 200),
    hard: r.range(250, 500),
  };
  const fall = {
    punch: r.range(0.02, 0.05),
    round: r.range(0.04, 0.08),
    boom: r.range(0.03, 0.07),
    hard: r.range(0.03, 0.06),
  };
  const attack = kind === 'round' ? r.range(0.002, 0.006) : 0.0005;
  const drive = { punch: r.range(1, 2.5), round: 1, boom: r.range(1, 1.8), hard: r.range(4, 12) };
  const click = kind === 'round' ? 0 : r.range(0, 0.5);
  const tick = new Filter('high');
  const tickHz = r.range(2000, 6000);
  let phase = 0;
  return sound(seconds, (t) => {
    phase += (2 * Math.PI * (floor + top[kind] * decay(t, 6.9 * fall[kind]))) / 44100;
    const body =
      Math.sin(phase) * Math.min(1, t / attack) * (kind === 'boom' ? decay(t, seconds) : 1 - t / seconds);
    const transient = click * tick.run(white(r), tickHz) * decay(t, 0.012);
    return Math.tanh(drive[kind] * body + transient) / Math.tanh(drive[kind]);
  });
}

export function snareDrum(r: Random): Float32Array {
  const tones = [r.range(150, 210), r.range(280, 360)];
  const ring = r.range(0.06, 0.2);
  const rattle = r.range(0.12, 0.35);
  const colour = new Filter('band', 0.6);
  const hz = r.range(1800, 4500);
  const tonal = r.range(0.15, 0.6);
  const dry = sound(0.3, (t) => {
    const head = tones.reduce(
      (sum, f, n) => sum + Math.sin(2 * Math.PI * f * (t + 0.0012 * decay(t, 0.05))) / (n + 1),
      0,
    );
    return tonal * head * decay(t, ring) + colour.run(white(r), hz) * 1.6 * decay(t, rattle);
  });
  return r.chance(0.4) ? inRoom(dry, r.range(0.1, 0.4), r.range(0.2, 0.6), r) : dry;
}

/** Hands: bursts at uneven distances, then a tail. */
export function handClap(r: Random): Float32Array {
  const bursts = Array.from({ length: r.int(2, 4) }, (_, n) => n * r.range(0.006, 0.013));
  const last = bursts[bursts.length - 1];
  const colour = new Filter('band', 0.9);
  const hz = r.range(900, 2200);
  const tail = r.range(0.1, 0.3);
  const dry = sound(0.35, (t) => {
    let level = 0;
    for (const b of bursts) if (t >= b) level = Math.max(level, decay(t - b, 0.02));
    if (t >= last) level = Math.max(level, 0.8 * decay(t - last, tail));
    return 2 * colour.run(white(r), hz) * level;
  });
  return r.chance(0.5) ? inRoom(dry, r.range(0.1, 0.5), 0.4, r) : dry;
}

export function rimShot(r: Random): Float32Array {
  const tones = [r.range(400, 600), r.range(1500, 2100)];
  return sound(
    0.07,
    (t) => tones.reduce((sum, f) => sum + Math.sin(2 * Math.PI * f * t) * decay(t, 0.05), 0) / 2,
  );
}

/** Six square waves at inharmonic intervals, high-passed: metal. */
export function metalHat(seconds: number, r: Random): Float32Array {
  const tones = Array.from({ length: 6 }, () => r.range(300, 900));
  const high = new Filter('high', 1);
  const hz = r.range(5500, 9000);
  const hiss = r.range(0.2, 1);
  return sound(seconds, (t) => {
    const metal = tones.reduce((sum, f) => sum + ((f * t) % 1 < 0.5 ? 1 : -1), 0) / 6;
    return high.run(metal * (1 - 0.5 * hiss) + hiss * white(r), hz) * decay(t, seconds * 1.2);
  });
}

/** Swells before it falls: its middle lies well after its start. */
export function shaker(r: Random): Float32Array {
  const rise = r.range(0.012, 0.03);
  const band = filtered(
    sound(0.09, () => white(r)),
    'band',
    r.range(5000, 9000),
    0.8,
  );
  return band.map((x, i) => {
    const t = i / 44100;
    return x * (t < rise ? t / rise : decay(t - rise, 0.08));
  });
}

export function handDrum(r: Random): Float32Array {
  const hz = r.range(160, 420);
  const ring = r.range(0.08, 0.25);
  return sound(
    ring,
    (t) =>
      Math.sin(2 * Math.PI * hz * (t + 0.004 * (1 - decay(t, 0.08)))) * decay(t, ring) +
      0.2 * white(r) * decay(t, 0.006),
  );
}

export function crash(r: Random): Float32Array {
  const seconds = r.range(1.5, 3);
  const high = new Filter('high');
  return sound(seconds, (t) => high.run(white(r), 3500) * decay(t, seconds) * Math.min(1, t / 0.002));
}
