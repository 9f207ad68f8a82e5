/* eslint svelte/prefer-svelte-reactivity: off -- maps and sets here are not shown */
/** The check of a set against a booth while it runs, and what came out of it. */
import { decksOf } from '../../shared/gig/check/decks.ts';
import { type CheckedTrack, lookAt, type Readiness, readinessSteps } from '../../shared/gig/readiness.ts';
import type { Booth, GigSet, SetTrack } from '../../shared/gig/types.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { eventTurn } from '../../workers/turn.ts';

/** `stale`: not made, or something has changed since. */
export type CheckStatus = 'stale' | 'running' | 'done' | 'stopped';

interface Kept {
  /** What else it hangs on than the track itself. */
  key: string;
  profiles: readonly DeckProfile[];
  looked: CheckedTrack;
}

export class GigCheck {
  status = $state<CheckStatus>('stale');
  /** Share that is done, 0..1. */
  share = $state(0);
  /** The last result; of before the change where the check is stale. */
  result = $state.raw<Readiness | null>(null);
  #run = 0;
  /** By the track's id. What was looked at once need not be read again. */
  readonly #kept = new Map<string, Kept>();

  /** @param trackOf reads a track; null: it is not there. The pyramid goes with it as soon as it was looked at. */
  async make(
    set: GigSet,
    booth: Booth,
    profiles: readonly DeckProfile[],
    trackOf: (id: string) => Promise<SetTrack | null>,
  ): Promise<void> {
    const run = ++this.#run;
    this.status = 'running';
    this.share = 0;
    try {
      const decks = decksOf(booth, profiles).profiles.map(({ id }) => id);
      const ids = [...new Set(set.entries.flatMap(({ trackId }) => trackId ?? []))];
      const looked = new Map<string, CheckedTrack>();
      for (const [i, id] of ids.entries()) {
        const points = set.entries
          .filter(({ trackId }) => trackId === id)
          .map(({ mixIn, mixOut }) => [mixIn, mixOut]);
        const key = JSON.stringify([decks, points]);
        const kept = this.#kept.get(id);
        let one = kept?.key === key && kept.profiles === profiles ? kept.looked : null;
        if (!one) {
          const track = await trackOf(id);
          if (run !== this.#run) return;
          one = track && lookAt(track, set, booth, profiles);
          if (one) this.#kept.set(id, { key, profiles, looked: one });
          this.share = (i + 1) / ids.length;
        }
        if (one) looked.set(id, one);
      }
      const steps = readinessSteps(set, looked, booth, profiles);
      for (;;) {
        await eventTurn();
        if (run !== this.#run) return;
        const step = steps.next();
        if (!step.done) continue;
        this.result = step.value;
        this.status = 'done';
        return;
      }
    } finally {
      if (run === this.#run && this.status === 'running') this.status = 'stopped';
    }
  }

  /** The person stops it; it does not begin again by itself. */
  stop(): void {
    this.#run++;
    if (this.status === 'running') this.status = 'stopped';
  }

  /** The set or the booth has changed. */
  outdate(): void {
    this.#run++;
    this.status = 'stale';
  }

  /** A track has changed. */
  forget(id: string): void {
    this.#kept.delete(id);
    this.outdate();
  }

  /** Another set or booth. */
  clear(): void {
    this.outdate();
    this.result = null;
  }
}
