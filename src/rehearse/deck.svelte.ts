/* eslint svelte/prefer-svelte-reactivity: off -- the set here is not shown */
/** One rehearsal deck: its state machine on the sound's clock, its track, what it told last, what was recorded. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import type { Effect } from '../../shared/behaviour/effect.ts';
import { beatAtTime, noGrid, tempoAt } from '../../shared/grid/grid.ts';
import { forwardRate, positionAt, rateOf } from '../../shared/behaviour/movement.ts';
import { movementsOf } from '../../shared/behaviour/movements.ts';
import { type DeckEvent, isPress, isRelease } from '../../shared/behaviour/press.ts';
import { reduce } from '../../shared/behaviour/reduce.ts';
import { type DeckState, newDeck } from '../../shared/behaviour/state.ts';
import { gridOf } from '../../shared/behaviour/steps.ts';
import { type DeckTrack, deckTrack } from '../../shared/behaviour/track.ts';
import { emptyPerformance, opening, type Performance } from '../../shared/behaviour/what-if/performance.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { corrected } from '../library/corrected.ts';
import type { EditRecord, TrackRecord } from '../library/records.ts';
import { titleOf } from '../library/records.ts';
import { effectWords } from '../train/hands/words.ts';
import { recorded, shifted } from './recording.ts';
import type { RehearsalSound } from './sound.svelte.ts';
import { words } from './words.ts';

/**
 * A press acts so long after the frame that is rendered next, s: then it reaches the player in time, and nothing of
 * the sound that it begins is lost. The measured delay counts it. Estimate, held against what the player reports.
 */
export const LEAD = 0.006;

/** What the deck needs of the library. */
export interface DeckShelf {
  readonly audio: {
    pcmOf(
      track: TrackRecord,
      sampleRate: number,
      options: { signal?: AbortSignal; onProgress?: (share: number) => void },
    ): Promise<import('../../workers/pcm.ts').TrackPcm | null>;
  };
  analysisOf(id: string): Promise<TrackAnalysis | null>;
  editOf(id: string): Promise<EditRecord | null>;
}

export interface Loaded {
  record: TrackRecord;
  /** Grid as the person corrected it. */
  analysis: TrackAnalysis;
  track: DeckTrack;
}

export class RehearsalDeck {
  profile = $state.raw<DeckProfile>(undefined as unknown as DeckProfile);
  state = $state.raw<DeckState>(undefined as unknown as DeckState);
  /** The track whose sound the player has. */
  loaded = $state.raw<Loaded | null>(null);
  /** Share of the file that is read for the player; null: nothing is read. */
  reading = $state<number | null>(null);
  told = $state('');
  performance = $state.raw<Performance | null>(null);
  recording = $state(false);
  presses = $state(0);

  /** Time of the deck's clock at which the recording began. */
  #began = 0;
  #before: DeckTrack | null = null;
  #abort = new AbortController();

  constructor(
    readonly index: 0 | 1,
    profile: DeckProfile,
    private readonly sound: RehearsalSound,
    private readonly shelf: DeckShelf,
  ) {
    this.profile = profile;
    this.state = newDeck(profile);
  }

  /** Another kind of deck, as it is switched on; the track must be loaded anew. */
  become(profile: DeckProfile): void {
    this.#abort.abort();
    this.reading = null;
    this.recording = false;
    this.profile = profile;
    this.state = newDeck(profile, this.sound.now);
    this.told = '';
    this.#before = null;
    this.#tellSound();
    if (this.loaded) this.press({ kind: 'load', track: this.loaded.track });
  }

  /** Reads the track's sound and loads it, where the deck takes one now. */
  async choose(record: TrackRecord): Promise<void> {
    this.sound.wake();
    const probe = reduce(this.#atNow(), { kind: 'load', track: NO_TRACK }, this.profile);
    if (!probe.effects.some(({ kind }) => kind === 'load')) return this.#tell(probe.effects);
    this.#abort.abort();
    const abort = (this.#abort = new AbortController());
    this.reading = 0;
    this.told = '';
    try {
      const [analysis, edit, pcm] = await Promise.all([
        this.shelf.analysisOf(record.id),
        this.shelf.editOf(record.id),
        this.shelf.audio.pcmOf(record, this.sound.sampleRate || 44_100, {
          signal: abort.signal,
          onProgress: (share) => !abort.signal.aborted && (this.reading = share),
        }),
      ]);
      if (abort.signal.aborted) return;
      this.reading = null;
      if (!analysis || !pcm) {
        this.told = analysis ? words.giveAgain(record.name) : words.readFirst(record.name);
        return;
      }
      const { grid } = corrected(analysis, edit);
      const { duration } = analysis;
      const about = { id: record.id, name: titleOf(record), grid, duration };
      const track = deckTrack(about, edit?.markers ?? []);
      if (this.state.track) this.#before = this.state.track;
      this.loaded = { record, analysis: { ...analysis, grid }, track };
      this.sound.giveTrack(this.index, pcm);
      this.press({ kind: 'load', track });
    } catch (error) {
      if (abort.signal.aborted) return;
      this.reading = null;
      this.told = error instanceof Error ? error.message : words.giveAgain(record.name);
    }
  }

  cancelReading(): void {
    this.#abort.abort();
    this.reading = null;
  }

  /** @param time of the event on the page's clock, ms */
  press(press: DeckEvent, time = performance.now()): void {
    if (isPress(press)) this.sound.wake();
    const handled = this.sound.now;
    const before = this.#atNow();
    const { state, effects } = reduce(before, press, this.profile);
    this.state = state;
    if (isPress(press) && !isRelease(press)) this.presses++;
    if (this.recording && this.performance) this.#record(press, state.now);
    const id =
      isPress(press) && effects.some(({ kind }) => HEARD.includes(kind))
        ? this.sound.latency.handled({
            toPage: Math.max(0, (performance.now() - time) / 1000),
            handled,
            acts: state.now,
          })
        : undefined;
    if (state !== before) this.#tellSound(id);
    this.#tell(effects, !isPress(press) || isRelease(press));
  }

  /** The time goes on. */
  tick(): void {
    const { state, effects } = reduce(this.state, { kind: 'tick', time: this.sound.now }, this.profile);
    this.state = state;
    if (!effects.length) return;
    this.#tellSound();
    this.#tell(effects, true);
  }

  /** Place at `time` on the sound's clock, s in the track. */
  placeAt(time: number): number {
    return positionAt(this.state, Math.max(time, this.state.anchor.time));
  }

  /** Tempo as it is heard and one moment of it, for a linked deck; null where it does not play on a grid. */
  get lead(): Extract<DeckEvent, { kind: 'master' }> | null {
    const grid = gridOf(this.state);
    const rate = rateOf(this.state);
    if (!grid || rate <= 0 || this.state.searching) return null;
    const place = positionAt(this.state);
    const bpm = (tempoAt(grid, place) ?? 0) * rate;
    return bpm > 0 ? { kind: 'master', bpm, time: this.state.now, beat: beatAtTime(grid, place) } : null;
  }

  /** Tempo of the track at the deck's speed, beats per minute, or null. */
  get bpm(): number | null {
    const grid = gridOf(this.state);
    const bpm = grid && tempoAt(grid, positionAt(this.state));
    return bpm === null ? null : bpm * forwardRate(this.state);
  }

  /** From here on what is pressed is kept. The deck is as it is when it is switched on, at this place. */
  startRecording(): void {
    const { track, playing } = this.state;
    if (!track) return;
    const position = this.placeAt(this.sound.now);
    this.performance = emptyPerformance(track, { previous: this.#before, position, playing });
    this.#began = this.sound.now + LEAD;
    this.state = shifted(opening(this.performance, this.profile), this.#began);
    this.recording = true;
    this.#tellSound();
  }

  stopRecording(): void {
    this.recording = false;
  }

  dispose(): void {
    this.#abort.abort();
  }

  #record(press: DeckEvent, time: number): void {
    if (!this.performance || press.kind === 'master' || press.kind === 'tick') return;
    this.performance = recorded(this.performance, time - this.#began, press);
  }

  #atNow(): DeckState {
    const time = this.sound.now + LEAD;
    const { state, effects } = reduce(this.state, { kind: 'tick', time }, this.profile);
    if (effects.length) this.#tell(effects, true);
    return state;
  }

  #tellSound(id?: number): void {
    const movements = movementsOf(this.state, this.profile);
    this.sound.send({ kind: 'move', deck: this.index, movements, ...(id === undefined ? {} : { id }) });
  }

  #tell(effects: readonly Effect[], keep = false): void {
    for (const effect of effects) {
      if (effect.kind !== 'listen-ahead') continue;
      this.sound.send({ kind: 'listen-ahead', deck: this.index, position: effect.position });
    }
    const said = effects.map(effectWords).filter((text): text is string => text !== null);
    if (effects.some(({ kind }) => kind === 'listen-ahead'))
      said.push(this.sound.phonesAt === null ? words.aheadNowhere : words.ahead);
    if (said.length || !keep) this.told = [...new Set(said)].join(' ');
  }
}

/** Effects that are heard at once where they come from a press. */
const HEARD: readonly Effect['kind'][] = ['start', 'stop', 'jump', 'rate'];

/** Stands for a track in the question whether the deck would take one. */
const NO_TRACK: DeckTrack = deckTrack({ id: '', name: '', duration: 0, grid: noGrid(0) }, []);
