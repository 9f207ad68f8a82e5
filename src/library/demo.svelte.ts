/** The demo set as the page sees it. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { type DemoManifest, type Fetch, fetchDemoTrack, fetchManifest, planDemo } from './demo.ts';
import type { DemoSource, TrackRecord } from './records.ts';
import type { Settings } from './settings.ts';
import type { SettingsState } from './settings.svelte.ts';

/** What the demo needs of the library. */
export interface DemoTools {
  settings: SettingsState;
  fetch: Fetch;
  base: string;
  report(sentence: string): void;
  tracks(): readonly TrackRecord[];
  editedIds(): Promise<ReadonlySet<string>>;
  add(track: TrackRecord, analysis: TrackAnalysis): Promise<unknown>;
  /** Sends a track that came without an analysis through the queue. */
  analyse(file: Blob, name: string, demo: DemoSource): void;
  remove(tracks: readonly TrackRecord[]): Promise<void>;
  /** Deletes older renderings. */
  replace(tracks: readonly TrackRecord[]): Promise<void>;
}

export class DemoState {
  /** A demo set is served. */
  available = $state(false);
  /** It is being put in. */
  busy = $state(false);

  readonly #tools: DemoTools;
  #manifest: DemoManifest | null = null;

  constructor(tools: DemoTools) {
    this.#tools = tools;
  }

  get removed(): boolean {
    return this.#tools.settings.current.demo?.state === 'removed';
  }

  /** On a fresh start puts the demo in; after a new rendering brings it up to date. */
  async start(): Promise<void> {
    const { fetch, base, settings } = this.#tools;
    this.#manifest = await fetchManifest(fetch, base);
    this.available = this.#manifest !== null;
    await this.#install(settings.current.demo);
  }

  /** Takes the demo tracks out; like every removal it can be undone for a while. */
  async remove(): Promise<void> {
    const { settings, tracks, remove } = this.#tools;
    const { demo } = settings.current;
    settings.set('demo', { fingerprint: '', seen: [], ...demo, state: 'removed' });
    await remove(tracks().filter((t) => t.demo !== null));
  }

  /** Puts the whole demo set in again, those included that were removed one by one. */
  async bringBack(): Promise<void> {
    await this.#install(null);
  }

  /** A removal was undone: if demo tracks are among them, the demo counts as shown again. */
  cameBack(tracks: readonly TrackRecord[]): void {
    const { settings } = this.#tools;
    const { demo } = settings.current;
    if (demo && tracks.some((t) => t.demo)) settings.set('demo', { ...demo, state: 'shown' });
  }

  async #install(setting: Settings['demo']): Promise<void> {
    const { fetch, base, settings, tracks, editedIds, add, analyse, replace, report } = this.#tools;
    if (!this.#manifest || this.busy) return;
    const present = tracks().filter((t) => t.demo !== null);
    const plan = planDemo(this.#manifest, setting, present, await editedIds());
    if (!plan) return;
    this.busy = true;
    try {
      // All are asked for at once; they are put in one by one, in the set's order.
      const deliveries = plan.install.map((track) => fetchDemoTrack(fetch, base, track, Date.now()));
      let complete = true;
      for (const delivery of deliveries) {
        const demo = await delivery;
        if (demo.kind === 'ready') await add(demo.track, demo.analysis);
        else if (demo.kind === 'to-analyse') analyse(demo.file, demo.name, demo.demo);
        else {
          complete = false;
          report(demo.sentence);
        }
      }
      // A set that is not whole is tried again at the next start.
      if (!complete) return;
      await replace(plan.replaced);
      settings.set('demo', plan.setting);
    } finally {
      this.busy = false;
    }
  }
}
