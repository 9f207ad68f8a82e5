/** A performance made on one deck, looked for on another. */
import type { Performance } from '../../shared/behaviour/what-if/performance.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { plannedMoves, withMoves } from '../../shared/gig/performed.ts';
import type { GigSet } from '../../shared/gig/types.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { GigStore } from '../library/gigs.ts';
import { startWhatIfWorker } from './what-if-start.ts';
import type { WhatIfReply, WhatIfRequest } from './what-if-worker.ts';
import { words } from './words.ts';

export interface WhatIfResult extends WhatIfReply {
  performance: Performance;
  to: DeckProfile;
}

export class WhatIf {
  result = $state.raw<WhatIfResult | null>(null);
  running = $state(false);
  sentence = $state('');
  #worker: Worker | null = null;

  run(performance: Performance, from: DeckProfile, to: DeckProfile): void {
    this.cancel();
    this.result = null;
    this.sentence = '';
    this.running = true;
    const worker = startWhatIfWorker();
    this.#worker = worker;
    worker.onmessage = ({ data }: MessageEvent<WhatIfReply>) => {
      this.result = { ...data, performance, to };
      this.cancel();
    };
    worker.onerror = () => {
      this.sentence = words.whatIf.failed;
      this.cancel();
    };
    const request: WhatIfRequest = $state.snapshot({ performance, from, to });
    worker.postMessage(request);
  }

  cancel(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.running = false;
  }

  /** Sets that have the track of the result. */
  async setsFor(gigs: GigStore): Promise<GigSet[]> {
    const id = this.result?.performance.track.id;
    const { sets } = await gigs.load();
    return sets.filter(({ entries }) => entries.some(({ trackId }) => trackId === id));
  }

  /** Plans the moves at every entry of the track in that set. */
  async plan(gigs: GigStore, set: GigSet, markers: readonly Marker[]): Promise<void> {
    const { result } = this;
    if (!result) return;
    const moves = plannedMoves(result.intended, result.performance, markers);
    let added = 0;
    const entries = set.entries.map((entry) => {
      if (entry.trackId !== result.performance.track.id) return entry;
      const next = withMoves(entry.moves, moves);
      added = Math.max(added, next.length - entry.moves.length);
      return { ...entry, moves: next };
    });
    if (added) await gigs.saveSet({ ...set, entries });
    this.sentence = words.whatIf.planned(added, set.name);
  }
}
