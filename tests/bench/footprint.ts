/**
 * Memory as the browser itself counts it: its "private memory footprint" of a process, what is that process's alone,
 * swapped out or not. Chromium, "Consistent Memory Metrics"
 * (https://chromium.googlesource.com/chromium/src/+/main/docs/memory/key_concepts.md); address from memory.
 */
import type { CDPSession } from 'playwright';

/** Between two counts, ms. */
const EVERY_MS = 250;

interface TraceEvent {
  pid: number;
  args?: { dumps?: { process_totals?: { private_footprint_bytes?: string } } };
}

/**
 * Has the browser count while `work` goes on.
 * @param browser session with the whole browser
 * @returns what `work` gives, and the most of any of the processes `pids`, kB
 */
export async function footprintWhile<T>(
  browser: CDPSession,
  pids: readonly number[],
  work: () => Promise<T>,
): Promise<[T, number]> {
  let peak = 0;
  browser.on('Tracing.dataCollected', ({ value }) => {
    for (const { pid, args } of value as unknown as TraceEvent[]) {
      const bytes = args?.dumps?.process_totals?.private_footprint_bytes;
      if (bytes && pids.includes(pid)) peak = Math.max(peak, parseInt(bytes, 16) / 1024);
    }
  });
  await browser.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: {
      includedCategories: ['disabled-by-default-memory-infra'],
      excludedCategories: ['*'],
      // Only when asked. The types know texts only.
      memoryDumpConfig: { triggers: [] as unknown as string },
    },
  });
  let over = false;
  const counting = (async () => {
    while (!over) {
      await browser.send('Tracing.requestMemoryDump', { levelOfDetail: 'background' });
      await new Promise((resolve) => setTimeout(resolve, EVERY_MS));
    }
  })();
  const end = async () => {
    over = true;
    await counting;
    const complete = new Promise((resolve) => browser.once('Tracing.tracingComplete', resolve));
    await browser.send('Tracing.end');
    await complete;
  };
  const result = await work().finally(end);
  return [result, peak];
}
