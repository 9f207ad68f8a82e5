/** Renders the tracks of the scenario: events to samples to a file. */
import { arrange, CRASH, DOWNLIFTER, RISER, ROLL, type Arrangement } from './arrange/arrange.ts';
import type { TrackSpec } from './arrange/spec.ts';
import { BUSES, drum, pitched, type Bus, type Instrument, type Style } from './arrange/style.ts';
import { STYLES } from './arrange/styles/index.ts';
import type { Rendered } from './pattern.ts';
import { SCENARIO } from './scenario.ts';
import { hat } from './synth/hat.ts';
import { duck, finish, sweep } from './synth/master.ts';
import { mulberry32, seedFrom, type Random } from './synth/prng.ts';
import { downlifter, riser } from './synth/riser.ts';
import { snare } from './synth/snare.ts';
import { bed, mix, sides, trimTail, type Voice } from './synth/voice.ts';

export const SAMPLE_RATE = 44100;
/** Largest sample of a finished track: −0.5 dBFS. */
export const PEAK = 10 ** (-0.5 / 20);

const COMMON_DESK: Style['desk'] = {
  [RISER]: { bus: 'effects', gain: 0.42 },
  [DOWNLIFTER]: { bus: 'effects', gain: 0.3 },
  [CRASH]: { bus: 'effects', gain: 0.5 },
  [ROLL]: { bus: 'effects', gain: 0.5 },
};

function commonInstruments(rate: number, random: Random): Record<string, Instrument> {
  return {
    [RISER]: pitched((_, seconds) => riser(rate, { fromHz: 300, toHz: 9000, tone: 0.06 }, seconds, random)),
    [DOWNLIFTER]: pitched((_, seconds) => downlifter(rate, seconds, random)),
    [CRASH]: drum(hat(rate, { decay: 0.6, floorHz: 3000, metal: 0.35 }, random)),
    [ROLL]: drum(
      ...[0, 1].map(() =>
        snare(rate, { toneHz: 210, toneDecay: 0.04, noiseDecay: 0.06, wires: 0.7, brightHz: 4500 }, random),
      ),
    ),
  };
}

/** The scenario's track with this id. Throws a RangeError for an unknown one. */
export function trackSpec(id: string): TrackSpec {
  const spec = SCENARIO.tracks.find((track) => track.id === id);
  if (!spec) throw new RangeError(`The demo set has no track “${id}”.`);
  return spec;
}

/** Renders a track of the scenario (by id) or any other spec: stereo samples and the truth about them. */
export function renderTrack(track: string | TrackSpec, rate = SAMPLE_RATE): Rendered {
  const spec = typeof track === 'string' ? trackSpec(track) : track;
  const style: Style = STYLES[spec.style];
  const arrangement = arrange(spec);
  const random = mulberry32(seedFrom('sounds', spec.id, spec.seed));
  const instruments = { ...style.instruments(rate, random), ...commonInstruments(rate, random) };
  const length = Math.round(arrangement.truth.duration * rate);
  const out = bed(length);
  const bus = bed(length);
  for (const name of BUSES) {
    for (const side of sides(bus)) side.fill(0);
    playBus(bus, name, { ...style.desk, ...COMMON_DESK }, instruments, arrangement, rate);
    treatBus(bus, name, style, arrangement, rate, meanBeat(arrangement));
    mix(out, bus, 0, 1);
  }
  finish(out, spec.drive, PEAK);
  return { ...out, sampleRate: rate, truth: arrangement.truth };
}

function playBus(
  bus: Voice,
  name: Bus,
  desk: Style['desk'],
  instruments: Record<string, Instrument>,
  { events }: Arrangement,
  rate: number,
): void {
  const trimmed = new Map<Voice, Voice>();
  for (const { instrument, time, gain, pan, hit, seconds } of events) {
    const channel = desk[instrument];
    if (!channel) throw new RangeError(`The desk has no channel for the instrument “${instrument}”.`);
    if (channel.bus !== name) continue;
    const sound = instruments[instrument](hit, seconds);
    let voice = trimmed.get(sound);
    if (!voice) trimmed.set(sound, (voice = trimTail(sound, rate)));
    mix(bus, voice, Math.round(time * rate), gain * channel.gain, pan);
  }
}

function treatBus(
  bus: Voice,
  name: Bus,
  style: Style,
  arrangement: Arrangement,
  rate: number,
  beat: number,
): void {
  if (name === 'music') {
    for (const { startTime, endTime, fromHz, toHz } of arrangement.sweeps)
      sweep(bus, rate, { from: Math.round(startTime * rate), to: Math.round(endTime * rate), fromHz, toHz });
  }
  const depth = style.duck.depth[name];
  if (depth) {
    const kicks = arrangement.kicks.map((time) => Math.round(time * rate));
    duck(bus, rate, kicks, depth, style.duck.release * beat);
  }
}

/** Mean duration of a beat, s. */
function meanBeat({ truth }: Arrangement): number {
  return 60 / truth.bpm;
}
