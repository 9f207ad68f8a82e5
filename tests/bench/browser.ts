/** What the person's browser does: frames while playing with five rungs, and the page during an analysis. */
import { fileURLToPath } from 'node:url';
import { chromium, type Page } from 'playwright';
import { build, preview } from 'vite';
import { chromiumPath } from '../setup/system.ts';
import { type Bench, type Table, against, ratio } from './table.ts';
import { benchMp3 } from './track.ts';

const MINUTES = 5;
const PLAY_SECONDS = 8;
/** Seconds from edge to edge of the ladder, near and far. */
const SPANS = [8, 30];
/** Targets of the project, ms. */
const LONGEST_FRAME_P95 = 8;
const LONGEST_TASK = 50;
const PORT = 4187;
const WIDTH = 1440;

const CONFIG = fileURLToPath(new URL('../../vite.config.ts', import.meta.url));

interface Frames {
  /** Main-thread ms of each frame: from the start of its callbacks to the end of its layout and paint. */
  work: number[];
}

/**
 * Measures the main thread's work per frame: a message posted from the first callback of a frame is handled
 * after that frame was laid out and painted.
 */
async function framesWhilePlaying(page: Page): Promise<Frames> {
  await page.keyboard.press('Home');
  await page.keyboard.press('Space');
  await page.waitForTimeout(500);
  const work = await page.evaluate(
    (ms) =>
      new Promise<number[]>((resolve) => {
        const times: number[] = [];
        const channel = new MessageChannel();
        const until = performance.now() + ms;
        let began = 0;
        channel.port1.onmessage = () => {
          times.push(performance.now() - began);
          if (performance.now() > until) resolve(times);
          else requestAnimationFrame(frame);
        };
        const frame = () => {
          began = performance.now();
          channel.port2.postMessage(0);
        };
        requestAnimationFrame(frame);
      }),
    PLAY_SECONDS * 1000,
  );
  await page.keyboard.press('Space');
  return { work };
}

function quantile(values: number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? NaN;
}

/** Zooms by key until the ladder shows about `span` seconds of `duration`. */
async function zoomTo(page: Page, duration: number, span: number): Promise<void> {
  await page.keyboard.press('0');
  const steps = Math.round(Math.log(duration / span) / Math.log(1.5));
  for (let i = 0; i < steps; i++) await page.keyboard.press('+');
  await page.waitForTimeout(500);
}

async function playing(page: Page): Promise<Table> {
  await page.getByTestId('add-deck').selectOption('small-touch');
  const rows: (string | number)[][] = [];
  for (const span of SPANS) {
    await zoomTo(page, MINUTES * 60, span);
    const { work } = await framesWhilePlaying(page);
    const p95 = quantile(work, 0.95);
    rows.push([
      `${span} s across`,
      work.length,
      quantile(work, 0.5).toFixed(2),
      p95.toFixed(2),
      quantile(work, 0.99).toFixed(2),
      against(Number(p95.toFixed(2)), LONGEST_FRAME_P95),
    ]);
  }
  return {
    title: `Painting five rungs while playing, ${WIDTH} px`,
    note: 'Main-thread milliseconds per frame, callbacks to paint.',
    head: ['view', 'frames', 'median', 'p95', 'p99', 'target for p95'],
    rows,
  };
}

/** What the page notes of an analysis; times in ms. */
interface Notes {
  tasks: number[];
  began: number;
  /** When the first picture and when the whole analysis had been painted. */
  early: number;
  whole: number;
}

/**
 * Opens a file and waits until it is analysed; the main thread's long tasks meanwhile, and times, ms. The page takes
 * the times itself: the tool that drives it looks only now and then.
 */
export async function whileAnalysed(page: Page, path: string, patience = 120_000) {
  // The test tool's own first look at the page is a long task: it must not be counted.
  await page.getByTestId('file-input').count();
  await page.getByTestId('tempo').count();
  await page.evaluate(() => {
    const notes: Notes = { tasks: [], began: NaN, early: NaN, whole: NaN };
    Object.assign(window, { notes });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) notes.tasks.push(entry.duration);
    }).observe({ type: 'longtask' });
    addEventListener('change', () => (notes.began = performance.now()), { capture: true, once: true });
    const painted = (then: (time: number) => void) =>
      requestAnimationFrame(() => requestAnimationFrame(() => then(performance.now())));
    const reading = () => document.body.textContent.includes('Still reading');
    let [seen, done] = [false, false];
    const watch = new MutationObserver(() => {
      if (!seen && reading()) {
        seen = true;
        painted((time) => (notes.early = time));
      } else if (seen && !done && !reading() && document.querySelector('[data-testid="tempo"]')) {
        done = true;
        watch.disconnect();
        painted((time) => (notes.whole = time));
      }
    });
    watch.observe(document.body, { childList: true, subtree: true, characterData: true });
  });
  await page.getByTestId('file-input').setInputFiles(path);
  await page.waitForFunction(
    () => (window as unknown as { notes: Notes }).notes.whole > 0,
    {},
    { timeout: patience, polling: 500 },
  );
  await page.waitForTimeout(500);
  const { tasks, began, early, whole } = await page.evaluate(
    () => (window as unknown as { notes: Notes }).notes,
  );
  return { tasks, longest: Math.max(0, ...tasks), early: early - began, total: whole - began };
}

async function analysing(page: Page, path: string): Promise<Table> {
  const { tasks, longest, early, total } = await whileAnalysed(page, path);
  return {
    title: `The page while a ${MINUTES}-minute 320 kb/s MP3 is analysed`,
    note: 'Long tasks are those over 50 ms that the browser reports for the main thread.',
    head: ['what', 'value', 'target'],
    rows: [
      ['long tasks', tasks.length, `none: ${tasks.length === 0 ? 'met' : 'MISSED'}`],
      ['longest, ms', Math.round(longest), longest ? against(Math.round(longest), LONGEST_TASK) : ''],
      ['first picture ÷ whole', ratio(early / total), against(early / total, 0.25)],
      ['first picture, s', (early / 1000).toFixed(2), ''],
      ['whole, s', (total / 1000).toFixed(2), ''],
    ],
  };
}

const FLAGS = [
  '--no-sandbox',
  '--disable-background-networking',
  '--autoplay-policy=no-user-gesture-required',
];

/** Builds and serves the app while `work` goes on. */
async function served<T>(work: () => Promise<T>): Promise<T> {
  await build({ configFile: CONFIG, logLevel: 'error' });
  const server = await preview({ configFile: CONFIG, preview: { port: PORT } });
  try {
    return await work();
  } finally {
    await server.close();
  }
}

/** Opens the app and waits until the demo set stands. */
async function open(page: Page): Promise<void> {
  // What runs this file names functions by a helper that the page does not have.
  await page.addInitScript('globalThis.__name ??= (named) => named');
  await page.goto(`http://127.0.0.1:${PORT}/`);
  await page.getByTestId('rung').first().waitFor();
  await page.waitForTimeout(3000);
}

/** Builds, serves and opens the app, and hands its page over once the demo set stands. Null where there is no Chromium. */
export async function withPage<T>(measure: (page: Page, pid: number) => Promise<T>): Promise<T | null> {
  const executablePath = chromiumPath();
  if (!executablePath) return null;
  return served(async () => {
    const browser = await chromium.launchServer({ executablePath, args: FLAGS });
    try {
      const client = await chromium.connect(browser.wsEndpoint());
      const page = await client.newPage({ viewport: { width: WIDTH, height: 900 } });
      await open(page);
      return await measure(page, browser.process().pid!);
    } finally {
      await browser.close();
    }
  });
}

/** As `withPage`, with all that the browser keeps on disk: in `folder`, which is left behind. */
export async function withKeptPage<T>(
  folder: string,
  measure: (page: Page) => Promise<T>,
): Promise<T | null> {
  const executablePath = chromiumPath();
  if (!executablePath) return null;
  return served(async () => {
    const context = await chromium.launchPersistentContext(folder, {
      executablePath,
      args: FLAGS,
      viewport: { width: WIDTH, height: 900 },
    });
    try {
      const page = await context.newPage();
      await open(page);
      return await measure(page);
    } finally {
      await context.close();
    }
  });
}

export const browserBench: Bench = {
  name: 'browser',
  async run() {
    const path = benchMp3(MINUTES);
    const tables = await withPage(async (page) => [await analysing(page, path), await playing(page)]);
    return tables ?? [{ title: 'Browser: no Chromium found, not measured', head: [], rows: [] }];
  },
};
