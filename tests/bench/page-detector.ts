/** `web-audio-beat-detector` where it can run: in a page of a headless Chromium. */
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright';
import { build, type Rollup } from 'vite';
import { chromiumPath } from '../setup/system.ts';

/** Nothing is there: every request is answered by this process. */
const ORIGIN = 'http://bench.test';
const ENTRY = fileURLToPath(new URL('../../node_modules/web-audio-beat-detector', import.meta.url));

export interface PageGuess {
  bpm: number;
  /** Time of a beat, s. */
  offset: number;
  /** What it took by the clock of the page, s. */
  seconds: number;
}

export interface PageDetector {
  /** @throws where the package finds nothing */
  guess(mono: Float32Array<ArrayBuffer>, sampleRate: number): Promise<PageGuess>;
  close(): Promise<void>;
}

/** @returns null without Chromium */
export async function pageDetector(): Promise<PageDetector | null> {
  const executablePath = chromiumPath();
  if (!executablePath) return null;
  const script = await bundle();
  const browser = await chromium.launch({
    executablePath,
    args: ['--no-sandbox', '--disable-background-networking'],
  });
  const page = await browser.newPage();
  let samples = Buffer.alloc(0);
  await page.route(`${ORIGIN}/**`, (route) =>
    new URL(route.request().url()).pathname === '/samples'
      ? route.fulfill({ body: samples, contentType: 'application/octet-stream' })
      : route.fulfill({ body: '<!doctype html><title>bench</title>', contentType: 'text/html' }),
  );
  await page.goto(`${ORIGIN}/`);
  await page.addScriptTag({ content: script });
  return {
    async guess(mono, sampleRate) {
      samples = Buffer.from(mono.buffer, mono.byteOffset, mono.byteLength);
      return page.evaluate(async (rate) => {
        const floats = new Float32Array(await (await fetch('/samples')).arrayBuffer());
        const buffer = new AudioBuffer({ length: floats.length, sampleRate: rate });
        buffer.copyToChannel(floats, 0);
        const { detector } = window as unknown as {
          detector: {
            guess(buffer: AudioBuffer): Promise<{ bpm: number; offset: number; tempo?: number }>;
          };
        };
        const began = performance.now();
        // `bpm` is rounded.
        const { bpm, offset, tempo = bpm } = await detector.guess(buffer);
        return { bpm: tempo, offset, seconds: (performance.now() - began) / 1000 };
      }, sampleRate);
    },
    close: () => browser.close(),
  };
}

/** The package as one plain script that sets `window.detector`. */
async function bundle(): Promise<string> {
  const built = (await build({
    configFile: false,
    logLevel: 'error',
    build: {
      write: false,
      lib: { entry: `${ENTRY}/build/es2019/module.js`, formats: ['iife'], name: 'detector' },
    },
  })) as Rollup.RollupOutput[];
  return built[0].output[0].code;
}
