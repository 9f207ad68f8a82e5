/** Calls `work` when the page has nothing better to do; `cancel` it by the returned function. */
export function whenIdle(work: () => void): () => void {
  if (typeof requestIdleCallback === 'function') {
    const handle = requestIdleCallback(work, { timeout: 5000 });
    return () => cancelIdleCallback(handle);
  }
  const handle = setTimeout(work, 1000);
  return () => clearTimeout(handle);
}

/** Lets the page answer the person between two heavy pieces: goes on in the next task. */
export const breath = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));
