/** A library of invented tracks in place of the demo set, written beside the app. */
import type { Page } from '@playwright/test';
import { ANALYSIS_VERSION, type TrackAnalysis } from '../../shared/analysis.ts';
import type { DrillTrack } from '../../shared/drills/types.ts';
import { clearStores, putRecords } from './database.ts';
import { expect } from './page.ts';

const TRACK_STORES = ['tracks', 'analyses', 'covers', 'edits', 'audio'];

const source: TrackAnalysis['source'] = {
  ...{ container: 'wav', codec: 'pcm', lossless: true, sampleRate: 44_100 },
  ...{ channels: 2, bitDepth: 16, bitrate: null },
} as const;

const base64 = (values: Float32Array) =>
  Buffer.from(values.buffer, values.byteOffset, values.byteLength).toString('base64');

/** Opens the app without its demo set, and empty. Only where service workers are blocked: they ask past the page. */
export async function openEmpty(page: Page): Promise<void> {
  await page.route('**/demo/manifest.json', (route) =>
    route.fulfill({ json: { fingerprint: 'none', tracks: [] } }),
  );
  await page.goto('/');
  await expect(page.getByTestId('file-input')).toBeAttached();
  const demo = { state: 'removed', fingerprint: 'none', seen: [] };
  await putRecords(page, 'settings', [{ key: 'demo', value: demo, savedAt: 1 }]);
}

/** The library holds these tracks and nothing else, in this order; open the page anew to see it. */
export async function putLibrary(page: Page, tracks: readonly DrillTrack[]): Promise<void> {
  await clearStores(page, TRACK_STORES);
  for (const [order, { id, title, analysis }] of tracks.entries()) {
    const { duration, pyramid, grid, sections, silent, partial } = analysis;
    const tags = { title, artist: 'Marl Quay', album: null, genre: null, year: null, comment: null };
    const record = {
      ...{ id, name: `${title}.wav`, size: 1000, addedAt: 1, order, source, duration, partial },
      tags: { ...tags, key: null, bpm: null, isrc: null },
      summary: {
        ...{ silent, tempo: grid.segments[0].bpm, tempoConfidence: grid.confidence },
        ...{ key: null, loudnessDb: null },
      },
      ...{ secondOpinion: null, demo: null, removedAt: null },
    };
    await putRecords(page, 'tracks', [record]);
    const light: Omit<TrackAnalysis, 'pyramid'> = {
      ...{ version: ANALYSIS_VERSION, source, duration, peak: 0.9, silent, partial, grid, sections },
      ...{ key: null, loudness: null },
    };
    const levels = pyramid.levels.map(({ hop, length, peak, rms }) => ({
      ...{ hop, length, peak: peak.map(base64), rms: rms.map(base64) },
    }));
    await putAnalysis(page, { id, version: ANALYSIS_VERSION, analysedAt: 1 }, light, levels);
  }
}

interface TextLevel {
  hop: number;
  length: number;
  peak: string[];
  rms: string[];
}

/** Typed arrays do not go to a page as they are. */
async function putAnalysis(
  page: Page,
  head: { id: string; version: number; analysedAt: number },
  light: Omit<TrackAnalysis, 'pyramid'>,
  levels: readonly TextLevel[],
): Promise<void> {
  await page.evaluate(
    ([about, rest, texts]) => {
      const numbers = (text: string) =>
        new Float32Array(Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer);
      const pyramid = {
        duration: rest.duration,
        levels: texts.map((level) => ({
          ...level,
          peak: level.peak.map(numbers),
          rms: level.rms.map(numbers),
        })),
      };
      return new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open('boothproof');
        opening.onerror = () => reject(opening.error!);
        opening.onsuccess = () => {
          const db = opening.result;
          const transaction = db.transaction('analyses', 'readwrite');
          transaction.objectStore('analyses').put({ ...about, analysis: { ...rest, pyramid } });
          transaction.onerror = () => reject(transaction.error!);
          transaction.oncomplete = () => {
            db.close();
            resolve();
          };
        };
      });
    },
    [head, light, levels] as const,
  );
}
