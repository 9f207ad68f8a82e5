/* eslint svelte/prefer-svelte-reactivity: off -- the map here is not shown */
/**
 * The metronome: clicks on the beats of the grid, mixed with the track in one audio engine, so that both go the
 * same way to the loudspeaker.
 */
import type { BeatGrid } from '../../shared/grid/grid.ts';
import { type ClickSounds, clickSounds } from '../player/click.ts';
import type { Transport } from '../player/transport.svelte.ts';
import { clicksDue, MediaClock } from './clicks.ts';

/** Time between two looks at the clocks, ms. */
const LOOK_MS = 25;
/** Clicks are handed to the engine this long before they sound, s. */
const AHEAD = 0.15;
/** Beats this close behind the player still count as not yet clicked when it begins to play, s. */
const START_SLACK = 0.005;

export class Metronome {
  on = $state(false);

  readonly #transport: Transport;
  readonly #clock = new MediaClock();
  #grid: BeatGrid | null = null;
  /** Linear, against the track's volume. */
  #level = 0;
  #engine: AudioContext | null = null;
  #gain: GainNode | null = null;
  #media: HTMLMediaElement | null = null;
  #timer: ReturnType<typeof setInterval> | undefined;
  /** Time in the track up to which clicks are handed over, s. */
  #until = 0;
  readonly #pending = new Map<AudioBufferSourceNode, number>();
  #sounds: ClickSounds | null = null;

  constructor(transport: Transport) {
    this.#transport = transport;
  }

  /** Switches it; call it from a click or key press, without which a browser lets no sound begin. */
  toggle(): void {
    this.on = !this.on;
    if (this.on) this.#begin();
    else this.#end();
  }

  /** The grid to click, null for none. Clicks that wait for a beat of the old one are taken back. */
  setGrid(grid: BeatGrid | null): void {
    if (grid === this.#grid) return;
    this.#grid = grid;
    this.#takeBack();
  }

  /** 0..1, and the volume of the track. */
  setLevel(level: number, volume: number): void {
    this.#level = level * volume;
    if (this.#gain) this.#gain.gain.value = this.#level;
  }

  /** Ends for good: the player of this page is taken down. */
  dispose(): void {
    this.on = false;
    this.#end();
    void this.#engine?.close();
    this.#engine = null;
    this.#gain = null;
    this.#media = null;
  }

  #begin(): void {
    const media = this.#transport.media;
    if (!media) return;
    if (media !== this.#media) this.#connect(media);
    void this.#engine?.resume();
    this.#takeBack();
    clearInterval(this.#timer);
    this.#timer = setInterval(this.#look, LOOK_MS);
  }

  /** From here on the element's sound goes through the engine, for as long as the element lives. */
  #connect(media: HTMLMediaElement): void {
    void this.#engine?.close();
    this.#engine = new AudioContext({ latencyHint: 'interactive' });
    this.#engine.createMediaElementSource(media).connect(this.#engine.destination);
    this.#gain = new GainNode(this.#engine, { gain: this.#level });
    this.#gain.connect(this.#engine.destination);
    this.#sounds = clickSounds(this.#engine);
    this.#media = media;
    const engine = this.#engine;
    media.addEventListener('play', () => void engine.resume());
    for (const event of ['seeking', 'pause', 'ratechange']) {
      media.addEventListener(event, () => media === this.#media && this.#takeBack());
    }
  }

  #end(): void {
    clearInterval(this.#timer);
    this.#takeBack();
  }

  #look = (): void => {
    const [engine, media, grid] = [this.#engine, this.#media, this.#grid];
    if (!engine || !media || media.paused || media.seeking || engine.state !== 'running') return;
    const now = engine.currentTime;
    this.#clock.read(now, media.currentTime, media.playbackRate);
    const place = this.#clock.mediaAt(now);
    if (place === null || !grid) return;
    const from = Math.max(this.#until, place - START_SLACK);
    const to = place + AHEAD * media.playbackRate;
    if (to <= from) return;
    this.#until = to;
    for (const { at, downbeat } of clicksDue(grid, this.#clock, from, to, now)) this.#play(at, downbeat);
  };

  #play(at: number, downbeat: boolean): void {
    if (!this.#engine || !this.#gain || !this.#sounds) return;
    const buffer = downbeat ? this.#sounds.downbeat : this.#sounds.beat;
    const source = new AudioBufferSourceNode(this.#engine, { buffer });
    source.connect(this.#gain);
    source.onended = () => this.#pending.delete(source);
    source.start(at);
    this.#pending.set(source, at);
  }

  /** Silences clicks that have not sounded, and begins anew from where the player is. */
  #takeBack(): void {
    const now = this.#engine?.currentTime ?? 0;
    for (const [source, at] of this.#pending) if (at > now) source.stop();
    this.#pending.clear();
    this.#clock.reset();
    this.#until = 0;
  }
}
