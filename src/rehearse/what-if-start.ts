/** The one place that knows where the worker of the comparison lives. */
export const startWhatIfWorker = (): Worker =>
  new Worker(new URL('./what-if-worker.ts', import.meta.url), { type: 'module' });
