/** Pitched sounds: basses, plucks, chords, voices; each drawn anew for every track. */
import type { Random } from '../random.ts';
import { CLUB_RATE, decay, Filter, Saw, sound, white } from './sound.ts';

export type BassKind = 'sub' | 'acid' | 'pluck' | 'growl';

/** Settles a bass; what it returns plays one note. */
export function bassSound(kind: BassKind, r: Random): (hz: number, seconds: number) => Float32Array {
  const attack = kind === 'sub' ? r.range(0.004, 0.02) : r.range(0.001, 0.006);
  const cutoff = r.range(180, 700);
  const sweep = r.range(300, 2500);
  const fall = r.range(0.08, 0.3);
  const resonance = kind === 'acid' ? r.range(2, 7) : 0.9;
  const detune = r.range(1.003, 1.012);
  return (hz, seconds) => {
    const filters = new Filter('low', resonance);
    const saws = [new Saw(r.next()), new Saw(r.next())];
    return sound(seconds, (t) => {
      const level = Math.min(1, t / attack) * Math.min(1, (seconds - t) / 0.012);
      if (kind === 'sub')
        return Math.sin(2 * Math.PI * hz * t) * level + 0.15 * Math.sin(4 * Math.PI * hz * t) * level;
      const tone = saws[0].next(hz) + (kind === 'growl' ? saws[1].next(hz * detune) : 0);
      const open = kind === 'growl' ? cutoff : cutoff + sweep * decay(t, fall);
      return filters.run(tone, open) * level * (kind === 'pluck' ? decay(t, 2 * fall) + 0.1 : 1) * 0.7;
    });
  };
}

/** A short bright note. */
export function pluckSound(r: Random): (hz: number, seconds: number) => Float32Array {
  const ring = r.range(0.15, 0.5);
  const bright = r.range(800, 5000);
  const square = r.chance(0.4);
  const attack = r.range(0.001, 0.008);
  return (hz, seconds) => {
    const low = new Filter('low', r.range(0.7, 2));
    const saw = new Saw(r.next());
    let phase = 0;
    return sound(Math.max(seconds, ring), (t) => {
      phase = (phase + hz / CLUB_RATE) % 1;
      const tone = square ? (phase < 0.4 ? 0.7 : -0.7) : saw.next(hz);
      return low.run(tone, 200 + bright * decay(t, ring)) * decay(t, ring) * Math.min(1, t / attack);
    });
  };
}

/** A chord that swells (`attack` long) or stabs (short). */
export function chordSound(attack: number, r: Random): (hz: number[], seconds: number) => Float32Array {
  const bright = r.range(500, 3500);
  const wander = r.range(0.1, 0.5);
  return (notes, seconds) => {
    const low = new Filter('low');
    const saws = notes.flatMap(() => [new Saw(r.next()), new Saw(r.next())]);
    return sound(seconds, (t) => {
      let sum = 0;
      notes.forEach((hz, n) => (sum += saws[2 * n].next(hz * 0.996) + saws[2 * n + 1].next(hz * 1.005)));
      const level = Math.min(1, t / attack) * Math.min(1, (seconds - t) / Math.min(0.15, seconds / 2));
      return (low.run(sum, bright * (1 + wander * Math.sin(2 * t))) * level) / (2 * notes.length);
    });
  };
}

/** A syllable: a buzz through two vowel bands, with a breath before it. */
export function syllable(hz: number, seconds: number, r: Random): Float32Array {
  const bands = [new Filter('band', 5), new Filter('band', 6)];
  const vowel = r.pick([
    [700, 1150],
    [400, 2000],
    [300, 850],
    [500, 1700],
  ]);
  const saw = new Saw(r.next());
  const breath = r.range(0.02, 0.07);
  const attack = r.range(0.02, 0.06);
  return sound(seconds, (t) => {
    const bend = hz * (1 + 0.012 * Math.sin(34 * t) - 0.05 * decay(t, 0.2));
    const voice = t < breath ? 0.1 * white(r) : saw.next(bend) * Math.min(1, (t - breath) / attack);
    return (
      (bands[0].run(voice, vowel[0]) + 0.7 * bands[1].run(voice, vowel[1])) *
      Math.min(1, (seconds - t) / 0.08)
    );
  });
}

/** Noise that rises towards what comes next. */
export function riser(seconds: number, r: Random): Float32Array {
  const band = new Filter('band', 1.2);
  const top = r.range(3000, 9000);
  return sound(seconds, (t) => band.run(white(r), 300 + top * (t / seconds) ** 2) * (t / seconds) ** 1.5);
}
