/* eslint svelte/prefer-svelte-reactivity: off -- the map here is not shown */
/** How long a press takes to the ear: measured for every press that is heard. */

/** Presses that the shown value is the median of. */
const KEPT = 25;

interface Pressed {
  /** s from the event itself to its handling */
  toPage: number;
  /** s on the engine's clock when it was handled */
  handled: number;
  /** s on the engine's clock at which it acts */
  acts: number;
}

export interface Measured {
  /** s from the event to the ear, as far as the browser knows */
  whole: number;
  /** Of which: to the page, to the player, from the player to the ear. */
  toPage: number;
  toPlayer: number;
  toEar: number;
}

export class LatencyMeter {
  /** Newest last. */
  measured = $state.raw<readonly Measured[]>([]);
  readonly median = $derived(medianOf(this.measured));

  readonly #under = new Map<number, Pressed>();
  #next = 1;

  /** A press is handled. @returns its name for the player */
  handled(pressed: Pressed): number {
    const id = this.#next++;
    // What was never answered is forgotten.
    if (this.#under.size > 100) this.#under.clear();
    this.#under.set(id, pressed);
    return id;
  }

  /** The player has taken the press `id`. @param rendered s on its clock @param toEar s from there to the ear */
  arrived(id: number, rendered: number, toEar: number): void {
    const pressed = this.#under.get(id);
    if (!pressed) return;
    this.#under.delete(id);
    const toPlayer = Math.max(rendered, pressed.acts) - pressed.handled;
    const whole = pressed.toPage + toPlayer + toEar;
    const one = { whole, toPage: pressed.toPage, toPlayer, toEar };
    this.measured = [...this.measured, one].slice(-KEPT);
  }
}

function medianOf(measured: readonly Measured[]): Measured | null {
  if (!measured.length) return null;
  const sorted = [...measured].sort((a, b) => a.whole - b.whole);
  return sorted[sorted.length >> 1];
}
