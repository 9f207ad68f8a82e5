/* eslint svelte/prefer-svelte-reactivity: off -- maps and sets here are replaced whole, or not shown */
/** The state of “Train”: the tracks to ask about, the open session, and the question that is asked. */
import { confirmItem, applyRequest, withChange } from '../../shared/drills/confirm.ts';
import { handAnswered, handKept, handKey, handKeys, handPartsOf, solved } from '../../shared/drills/hands.ts';
import { availableKeys, itemFor, partsOf, richestOf } from '../../shared/drills/make.ts';
import { isLoadingDrill, type LoadingKind } from '../../shared/drills/loading/kinds.ts';
import { loadingItemFor, loadingKeys, loadingPartsOf } from '../../shared/drills/loading/make.ts';
import type { ListedTrack } from '../../shared/drills/loading/types.ts';
import { seeded } from '../../shared/drills/random.ts';
import { sampleOf } from '../../shared/drills/sample.ts';
import {
  answered,
  openItem,
  planSession,
  type PlanKey,
  type PlanOptions,
  skipped,
} from '../../shared/drills/session.ts';
import type {
  AnswerRecord,
  CardRecord,
  ConfirmItem,
  DrillKind,
  DrillTrack,
  EditRequest,
  HandRecord,
  HandResult,
  ItemKey,
  PlannedItem,
  Session,
} from '../../shared/drills/types.ts';
import type { DrillId } from '../../shared/behaviour/drills/machine.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { breath } from '../shell/idle.ts';
import { corrected } from '../library/corrected.ts';
import { type EditRecord, titleOf, type TrackRecord } from '../library/records.ts';
import type { TrainingStore } from '../library/training.ts';
import * as history from '../mark/history.ts';
import { type Asked, type Outcome, outcomeOf } from './asked.ts';
import { isHandDrill } from './drill-title.ts';
import { words } from './words.ts';

/** What of the library is needed here. */
export interface TrainShelf {
  readonly tracks: readonly TrackRecord[];
  readonly outdated: ReadonlySet<string>;
  readonly training: TrainingStore;
  analysisOf(id: string): Promise<TrackAnalysis | null>;
  editOf(id: string): Promise<EditRecord | null>;
  saveEdit(id: string, edit: Omit<EditRecord, 'id' | 'savedAt'>): Promise<void>;
}

/** One drill on one deck, to be trained by itself. */
export interface Wish {
  deckId: string;
  drill: DrillKind | LoadingKind | DrillId;
}

export interface StartOptions extends PlanOptions {
  /** Hand drills too. */
  hands: boolean;
  /** Only this; null: everything. */
  only: Wish | null;
}

export class TrainState {
  state = $state<'loading' | 'ready'>('loading');
  answers = $state.raw<readonly AnswerRecord[]>([]);
  /** Rounds of hand drills. */
  hands = $state.raw<readonly HandRecord[]>([]);
  cards = $state.raw<ReadonlyMap<ItemKey, CardRecord>>(new Map());
  session = $state.raw<Session | null>(null);
  /** The question that is open, until its outcome was looked at. */
  asked = $state.raw<Asked | null>(null);
  /** How it went; null until it is answered, or its round is over. */
  outcome = $state.raw<Outcome | null>(null);
  /** Asked before the first drill about a track that is not sure. */
  confirm = $state.raw<ConfirmItem | null>(null);
  tracks = $state.raw<readonly DrillTrack[]>([]);

  readonly #shelf: TrainShelf;
  readonly #profiles: () => readonly DeckProfile[];
  readonly #practice: readonly ListedTrack[];
  readonly #now: () => number;
  readonly #clock: () => number;
  #askedAt = 0;
  #declined = new Set<string>();

  constructor(parts: {
    shelf: TrainShelf;
    profiles: () => readonly DeckProfile[];
    /** The invented list that is asked about where the person's own is too short. */
    practice: readonly ListedTrack[];
    now?: () => number;
    /** Milliseconds of a steady clock. */
    clock?: () => number;
  }) {
    this.#shelf = parts.shelf;
    this.#profiles = parts.profiles;
    this.#practice = parts.practice;
    this.#now = parts.now ?? (() => Date.now());
    this.#clock = parts.clock ?? (() => performance.now());
  }

  get profiles(): readonly DeckProfile[] {
    return this.#profiles();
  }

  get rich(): DeckProfile {
    return richestOf(this.profiles);
  }

  get done(): boolean {
    return this.session !== null && this.session.at >= this.session.items.length;
  }

  /** Reads what is kept and takes up a session that a reload interrupted. */
  async load(): Promise<void> {
    const kept = await this.#shelf.training.load();
    this.answers = kept.answers;
    this.hands = kept.hands;
    this.cards = new Map(kept.cards.map((card) => [card.key, card]));
    const { session } = kept;
    if (session) {
      await this.#readTracks(session);
      this.session = session;
      this.#ask();
    }
    this.state = 'ready';
  }

  /** The place in the session that is shown, from 1. */
  get place(): number {
    const { session } = this;
    if (!session) return 0;
    return Math.min(session.items.length, session.at + (this.outcome ? 0 : 1));
  }

  /** Whether the open session asks about nothing but that. */
  isFor(wish: Wish): boolean {
    const items = this.session?.items ?? [];
    return items.every(({ key }) => {
      const { deckId, drill }: { deckId: string; drill: string } = partsOf(key);
      return deckId === wish.deckId && drill === wish.drill;
    });
  }

  /** Begins a session. @returns a sentence where there is nothing to ask */
  async start(options: StartOptions): Promise<string | null> {
    this.state = 'loading';
    const now = this.#now();
    try {
      await this.#readTracks({ startedAt: now });
      const keys = await this.#keys(options);
      const planned = planSession(options, keys, this.cards, this.answers, now, seeded(now));
      const session = { ...planned, tracks: this.tracks.map(({ id }) => id) };
      if (!session.items.length) return options.only ? words.notThis : words.noTracks;
      this.outcome = null;
      this.session = session;
      await this.#shelf.training.keepSession(session, now);
      // Tracks are asked about only where a question about one comes.
      const aboutTracks = session.items.some(({ key }) => !handPartsOf(key) && !loadingPartsOf(key));
      this.confirm = aboutTracks ? this.#nextConfirm() : null;
      if (!this.confirm) this.#ask();
      return null;
    } finally {
      this.state = 'ready';
    }
  }

  /** Takes the answer to the open question. */
  async answer(value: number, confidence: number): Promise<void> {
    const { asked, session } = this;
    if (!asked || asked.kind === 'hand' || !session || this.outcome) return;
    const seconds = (this.#clock() - this.#askedAt) / 1000;
    const outcome = outcomeOf(asked, { value, seconds, confidence }, this.tracks, this.profiles);
    this.outcome = outcome;
    const { item, score } = outcome;
    const next = answered(session, item, score, this.cards.get(item.key) ?? null, this.#now());
    this.session = next.session;
    this.answers = [...this.answers, next.record];
    if (next.card) this.cards = new Map(this.cards).set(next.card.key, next.card);
    await this.#shelf.training.answered(next.record, next.card, next.session);
  }

  /** Takes a round of a hand drill, be it the session's open item or one by itself. */
  async worked(result: HandResult): Promise<void> {
    const { deckId, drill } = result;
    const { asked } = this;
    const open = asked?.kind === 'hand' && asked.deckId === deckId && asked.drill === drill && !this.outcome;
    const { record, card } = handKept(result, this.cards.get(handKey(deckId, drill)) ?? null, this.#now());
    const session = open && this.session ? handAnswered(this.session, record) : null;
    if (session) {
      this.session = session;
      this.outcome = { kind: 'hand', record };
    }
    this.hands = [...this.hands, record];
    this.cards = new Map(this.cards).set(card.key, card);
    await this.#shelf.training.worked(record, card, session);
  }

  next(): void {
    this.#ask();
  }

  async skip(): Promise<void> {
    if (!this.session) return;
    this.session = skipped(this.session);
    this.#ask();
    await this.#shelf.training.keepSession(this.session, this.#now());
  }

  /** Ends the session; what was answered is kept. */
  async end(): Promise<void> {
    this.session = null;
    this.asked = null;
    this.outcome = null;
    this.confirm = null;
    await this.#shelf.training.keepSession(null, this.#now());
  }

  /** Takes the answer to a “confirm first” question; a change goes back to the track. */
  async confirmed(request: EditRequest | null): Promise<void> {
    const { confirm } = this;
    if (!confirm) return;
    this.#declined.add(confirm.trackId);
    const track = this.tracks.find(({ id }) => id === confirm.trackId);
    const change = request && track ? applyRequest(track, request) : null;
    if (track && change) {
      const changed = withChange(track, change);
      this.tracks = this.tracks.map((each) => (each.id === track.id ? changed : each));
      await this.#keep(changed, change);
    }
    this.confirm = this.#nextConfirm();
    if (!this.confirm) this.#ask();
  }

  #nextConfirm(): ConfirmItem | null {
    for (const track of this.tracks) {
      if (this.#declined.has(track.id)) continue;
      const item = confirmItem(track, this.rich);
      if (item) return item;
    }
    return null;
  }

  /** A confirmed or corrected grid is the person's own from now on; undo in Mark takes it back. */
  async #keep(track: DrillTrack, change: { grid?: unknown; sections?: unknown }): Promise<void> {
    const edit = await this.#shelf.editOf(track.id);
    const kept = history.readHistory(edit);
    const now = history.current(kept);
    const grid = change.grid ? track.analysis.grid : now.grid;
    const sections = change.sections ? track.analysis.sections : now.sections;
    const markers = now.markers ?? null;
    const step = { what: words.confirmStep, grid, sections, markers };
    await this.#shelf.saveEdit(track.id, { grid, sections, markers, history: history.record(kept, step) });
  }

  /** What the session may be planned from. Decks are solved one by one, so that the page can go on between them. */
  async #keys({ hands, only }: StartOptions): Promise<PlanKey[]> {
    const keys: PlanKey[] = availableKeys(this.tracks, this.profiles);
    // Who has nothing to be asked about is told so; a question about lists and files that was asked for comes even then.
    if (keys.length || (only && isLoadingDrill(only.drill))) keys.push(...loadingKeys(this.profiles));
    const wanted = only ? isHandDrill(only.drill) : hands;
    for (const key of wanted ? handKeys(this.profiles) : []) {
      if (key) keys.push(key);
      await breath();
    }
    return only ? keys.filter(({ deckId, drill }) => deckId === only.deckId && drill === only.drill) : keys;
  }

  #ask(): void {
    this.asked = null;
    this.outcome = null;
    while (this.session && !this.asked) {
      const planned = openItem(this.session);
      if (!planned) return;
      this.asked = this.#made(planned);
      if (!this.asked) this.session = skipped(this.session);
    }
    this.#askedAt = this.#clock();
  }

  /** The question of a place in the session; null where its deck or its track is gone. */
  #made(planned: PlannedItem): Asked | null {
    const hand = handPartsOf(planned.key);
    if (hand) return this.#has(hand) ? { kind: 'hand', ...hand } : null;
    if (loadingPartsOf(planned.key)) {
      const item = loadingItemFor(planned, this.#listed(), this.profiles, this.#practice);
      return item && { kind: 'loading', item };
    }
    const item = itemFor(planned, this.tracks, this.profiles);
    return item && { kind: 'reading', item };
  }

  /** The library as a list shows it. */
  #listed(): ListedTrack[] {
    return this.#shelf.tracks.map((track) => ({
      id: track.id,
      title: titleOf(track),
      artist: track.tags.artist,
      tempo: track.summary.tempo,
      key: track.summary.key?.name ?? null,
      duration: track.duration,
      source: track.source,
    }));
  }

  /** A deck that was changed or removed since the session was planned may not have the drill any more. */
  #has({ deckId, drill }: { deckId: string; drill: DrillId }): boolean {
    const profile = this.profiles.find(({ id }) => id === deckId);
    return profile !== undefined && solved(drill, profile).outcome === 'solved';
  }

  /** Those that a session asked about go on being asked about, whatever came into the list since. */
  async #readTracks({ startedAt, tracks }: Pick<Session, 'startedAt' | 'tracks'>): Promise<void> {
    const usable = this.#shelf.tracks.filter(({ id }) => !this.#shelf.outdated.has(id));
    const asked = tracks?.flatMap((id) => usable.find((track) => track.id === id) ?? []);
    const sample = asked ?? sampleOf(usable, startedAt);
    const read = await Promise.all(sample.map((track) => this.#drillTrack(track)));
    this.tracks = read.filter((track) => track !== null);
  }

  async #drillTrack(track: TrackRecord): Promise<DrillTrack | null> {
    const [analysis, edit] = await Promise.all([
      this.#shelf.analysisOf(track.id),
      this.#shelf.editOf(track.id),
    ]);
    if (!analysis) return null;
    const { duration, pyramid, silent, partial } = analysis;
    return {
      id: track.id,
      title: titleOf(track),
      analysis: { duration, pyramid, silent, partial, ...corrected(analysis, edit) },
      gridByHand: Boolean(edit?.grid),
      sectionsByHand: Boolean(edit?.sections),
    };
  }
}
