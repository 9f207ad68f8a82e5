/** Typed events for plain classes. */
export class Emitter<Events extends object> {
  readonly #listeners = new Map<keyof Events, Set<(event: never) => void>>();

  /** @returns a function that takes the listener off again */
  on<Name extends keyof Events>(name: Name, listener: (event: Events[Name]) => void): () => void {
    const listeners = this.#listeners.get(name) ?? new Set();
    this.#listeners.set(name, listeners.add(listener));
    return () => listeners.delete(listener);
  }

  emit<Name extends keyof Events>(name: Name, event: Events[Name]): void {
    for (const listener of [...(this.#listeners.get(name) ?? [])]) {
      (listener as (event: Events[Name]) => void)(event);
    }
  }

  clear(): void {
    this.#listeners.clear();
  }
}
