/** From a track's data to events in time, with the ground truth of where they fall. */
import { timeOfBeat, type BeatGrid, type GridSegment } from '../../shared/grid/grid.ts';
import { mulberry32, seedFrom, type Random } from '../synth/prng.ts';
import { truthGrid, type Truth, type TruthSection } from '../truth.ts';
import { keyName } from './harmony.ts';
import { BARS_PER_PHRASE, BEATS_PER_BAR, type Presence, type SectionSpec, type TrackSpec } from './spec.ts';
import { steps, type Hit, type Part, type Style } from './style.ts';
import { STYLES } from './styles/index.ts';
import { constantTempo, driftingTempo, swung } from './tempo.ts';

/** One sound at one time. */
export interface SoundEvent {
  instrument: string;
  /** s */
  time: number;
  gain: number;
  pan: number;
  /** The hit that asked for it, and its length in s */
  hit: Hit;
  seconds: number;
}

export interface Arrangement {
  events: SoundEvent[];
  /** s: kicks that duck the other buses, rising */
  kicks: number[];
  sweeps: { startTime: number; endTime: number; fromHz: number; toHz: number }[];
  truth: Truth;
}

/** Instruments that every track has beside those of its style. */
export const RISER = 'riser';
export const CRASH = 'crash';
export const DOWNLIFTER = 'downlifter';
export const ROLL = 'roll';

const TAIL_SECONDS = 3;
const ROLL_BARS = 4;
const DOWNLIFTER_BEATS = 8;
/** Parts that go on through a stop. */
const THROUGH_STOPS: Part[] = ['roll', 'riser', 'lead', 'pad'];
/** Instruments that never leave the grid: the truth is their attack. */
const ON_THE_GRID = new Set(['kick', 'snare', 'clap']);

/** Plays the whole track. */
export function arrange(spec: TrackSpec): Arrangement {
  const style: Style = STYLES[spec.style];
  const truth = truthOf(spec);
  const player = new Player(spec, style, truthGrid(truth));
  player.pickup();
  let bar = 0;
  for (const section of spec.sections) {
    player.section(section, bar);
    bar += section.bars;
  }
  player.events.sort((a, b) => a.time - b.time);
  player.kicks.sort((a, b) => a - b);
  return { events: player.events, kicks: player.kicks, sweeps: player.sweeps, truth };
}

class Player {
  readonly events: SoundEvent[] = [];
  readonly kicks: number[] = [];
  readonly sweeps: Arrangement['sweeps'] = [];
  private readonly random: Random;

  constructor(
    private readonly spec: TrackSpec,
    private readonly style: Style,
    private readonly grid: BeatGrid,
  ) {
    this.random = mulberry32(seedFrom('arrange', spec.id, spec.seed));
  }

  /** Time of a beat counted from the first bar. */
  private time(beat: number): number {
    return timeOfBeat(this.grid, beat + this.spec.pickup.beats);
  }

  pickup(): void {
    const { beats, instrument } = this.spec.pickup;
    for (let beat = -beats; beat < 0; beat++) {
      this.play({ instrument, beat: 0, gain: 1 }, beat, 1, 0);
    }
  }

  section(section: SectionSpec, firstBar: number): void {
    const firstBeat = firstBar * BEATS_PER_BAR;
    const lastBeat = firstBeat + section.bars * BEATS_PER_BAR;
    for (let n = 0; n < section.bars; n++) {
      for (const [part, wish] of Object.entries(section.parts) as [Part, true | Presence][]) {
        const { gain = 1, from = 0, to = section.bars } = wish === true ? {} : wish;
        if (n < from || n >= to) continue;
        const bar = firstBar + n;
        for (const hit of this.hits(part, section, bar, n, from)) {
          const beat = bar * BEATS_PER_BAR;
          const stopped = beat + hit.beat >= lastBeat - (section.stopBeats ?? 0) - 1e-9;
          if (stopped && !THROUGH_STOPS.includes(part)) continue;
          this.play(hit, beat, gain);
        }
      }
    }
    if (section.label === 'breakdown')
      this.play({ instrument: DOWNLIFTER, beat: 0, gain: 0.8, length: DOWNLIFTER_BEATS }, firstBeat, 1);
    if (section.sweep)
      this.sweeps.push({ startTime: this.time(firstBeat), endTime: this.time(lastBeat), ...section.sweep });
  }

  private hits(part: Part, section: SectionSpec, bar: number, n: number, from: number): Hit[] {
    const left = section.bars - n;
    if (part === 'crash') return n % 16 === 0 ? [{ instrument: CRASH, beat: 0, gain: 1 }] : [];
    if (part === 'riser')
      return n === from ? [{ instrument: RISER, beat: 0, gain: 1, length: left * BEATS_PER_BAR }] : [];
    if (part === 'roll') return left > ROLL_BARS ? [] : rollBar(ROLL_BARS - left);
    const { progression, key } = this.spec;
    return (
      this.style.bars[part]?.({
        bar,
        phraseBar: bar % BARS_PER_PHRASE,
        barInSection: n,
        barsInSection: section.bars,
        label: section.label,
        key,
        step: progression[bar % progression.length],
        random: this.random,
      }) ?? []
    );
  }

  private play(hit: Hit, barBeat: number, gain: number, looseness = this.style.looseness): void {
    const beat = barBeat + swung(hit.beat, this.spec.swing);
    let time = this.time(beat);
    const seconds = this.time(beat + (hit.length ?? 0)) - time;
    if (!ON_THE_GRID.has(hit.instrument)) time += looseness * (this.random() * 2 - 1);
    if (hit.instrument === 'kick') this.kicks.push(time);
    this.events.push({
      instrument: hit.instrument,
      time,
      gain: gain * hit.gain,
      pan: hit.pan ?? 0,
      hit,
      seconds,
    });
  }
}

/** A snare roll that doubles: fourths, eighths, then sixteenths, ever louder. */
function rollBar(bar: number): Hit[] {
  const pattern = [
    'x... x... x... x...',
    'x... x... x.x. x.x.',
    'x.x. x.x. x.x. x.x.',
    'xxxx xxxx xxxx xxxx',
  ][bar];
  return steps(ROLL, pattern).map((hit) => ({
    ...hit,
    gain: 0.25 + (0.75 * (bar * BEATS_PER_BAR + hit.beat)) / (ROLL_BARS * BEATS_PER_BAR),
  }));
}

/** Where every beat, bar and section of the track falls. */
export function truthOf(spec: TrackSpec): Truth {
  const bars = spec.sections.reduce((sum, section) => sum + section.bars, 0);
  const { beats: pickup } = spec.pickup;
  const count = pickup + bars * BEATS_PER_BAR;
  const tempoMap: GridSegment[] =
    'bpm' in spec.tempo
      ? constantTempo(spec.tempo.bpm, spec.silence)
      : driftingTempo(spec.tempo.drift, spec.silence, count, seedFrom('drift', spec.id, spec.seed));
  const truth: Truth = {
    duration: 0,
    kind: 'bpm' in spec.tempo ? 'constant' : 'variable',
    bpm: 0,
    beatsPerBar: BEATS_PER_BAR,
    firstBeatInBar: (BEATS_PER_BAR - (pickup % BEATS_PER_BAR)) % BEATS_PER_BAR,
    phraseOffsetBars: Math.ceil(pickup / BEATS_PER_BAR),
    beats: [],
    downbeats: [],
    phrases: [],
    tempoMap,
    swing: spec.swing,
    sections: [],
    key: keyName(spec.key),
  };
  const grid = truthGrid(truth);
  const end = timeOfBeat(grid, count);
  truth.duration = end + TAIL_SECONDS;
  truth.bpm = 'bpm' in spec.tempo ? spec.tempo.bpm : (60 * count) / (end - spec.silence);
  for (let beat = 0; beat < count; beat++) {
    const time = timeOfBeat(grid, beat);
    truth.beats.push(time);
    const inMusic = beat - pickup;
    if ((beat + truth.firstBeatInBar) % BEATS_PER_BAR === 0) truth.downbeats.push(time);
    if (inMusic >= 0 && inMusic % (BEATS_PER_BAR * BARS_PER_PHRASE) === 0) truth.phrases.push(time);
  }
  truth.sections = sectionsOf(spec, truth, grid);
  return truth;
}

/** The sections tile the file: the first takes what is before beat one, the last the tail. */
function sectionsOf(spec: TrackSpec, truth: Truth, grid: BeatGrid): TruthSection[] {
  let bar = 0;
  return spec.sections.map((section, n) => {
    const startTime = n === 0 ? 0 : timeOfBeat(grid, spec.pickup.beats + bar * BEATS_PER_BAR);
    bar += section.bars;
    const last = n === spec.sections.length - 1;
    const endTime = last ? truth.duration : timeOfBeat(grid, spec.pickup.beats + bar * BEATS_PER_BAR);
    return { label: section.label, startTime, endTime, bars: section.bars };
  });
}
