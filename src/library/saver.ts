/** Writes small things soon but not at every keystroke, and never later than a second after the change. */

/** Wait for quiet, ms. */
export const QUIET_MS = 200;
/** Oldest that an unwritten change may become, ms. */
export const MAX_AGE_MS = 1000;

export interface SaverOptions<Value> {
  /**
   * Writes a batch. Must begin its transaction synchronously, so that a flush on closing the page or handing
   * the database over is in time.
   */
  write(batch: ReadonlyMap<string, Value>): Promise<void>;
  /** A write failed; its values wait for the next change or flush. */
  onError?: (error: unknown, keys: string[]) => void;
}

export interface Saver<Value> {
  /** Notes the newest value of `key`. */
  set(key: string, value: Value): void;
  /** Writes now whatever waits; resolves when every write that was begun has ended. */
  flush(): Promise<void>;
  /** Values noted and not yet safely written. */
  readonly pending: ReadonlyMap<string, Value>;
}

export function createSaver<Value>({ write, onError }: SaverOptions<Value>): Saver<Value> {
  const waiting = new Map<string, Value>();
  const writing = new Set<Promise<void>>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  let oldest = 0;

  function begin(): void {
    clearTimeout(timer);
    timer = undefined;
    if (!waiting.size) return;
    const batch = new Map(waiting);
    waiting.clear();
    let started: Promise<void>;
    try {
      started = write(batch);
    } catch (error) {
      started = Promise.reject(error);
    }
    const run: Promise<void> = started
      .catch((error: unknown) => {
        // A newer value of the same key wins over the one that failed.
        for (const [key, value] of batch) if (!waiting.has(key)) waiting.set(key, value);
        onError?.(error, [...batch.keys()]);
      })
      .finally(() => writing.delete(run));
    writing.add(run);
  }

  return {
    set(key, value) {
      const now = Date.now();
      if (!waiting.size || timer === undefined) oldest = now;
      waiting.set(key, value);
      clearTimeout(timer);
      timer = setTimeout(begin, Math.max(0, Math.min(QUIET_MS, oldest + MAX_AGE_MS - now)));
    },
    async flush() {
      begin();
      await Promise.all(writing);
    },
    get pending() {
      return waiting;
    },
  };
}
