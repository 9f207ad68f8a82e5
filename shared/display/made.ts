/** Which stretches of something were made: few, in order, apart from one another. */
export class Made {
  readonly #stretches: { from: number; to: number }[] = [];

  /** Calls `make` for what is missing between `from` and `to` (which is left out), in order, and takes it for made. */
  fill(from: number, to: number, make: (from: number, to: number) => void): void {
    if (to <= from) return;
    const all = this.#stretches;
    let first = 0;
    while (first < all.length && all[first].to < from) first++;
    let at = from;
    let last = first;
    while (last < all.length && all[last].from <= to) {
      if (at < all[last].from) make(at, all[last].from);
      at = Math.max(at, all[last].to);
      last++;
    }
    if (at < to) make(at, to);
    // All that touch are one stretch from now on.
    const start = first < last ? Math.min(from, all[first].from) : from;
    all.splice(first, last - first, { from: start, to: Math.max(at, to) });
  }
}
