import { describe, expect, test } from 'vitest';
import type { Manifest } from '../../demo/manifest.ts';
import { encodeAnalysis } from '../../shared/analysis-codec.ts';
import { type DemoManifest, fetchDemoTrack, fetchManifest, planDemo } from '../../src/library/demo.ts';
import { SENTENCES } from '../../src/library/sentences.ts';
import { analysis, record, tags } from './helpers.ts';

const HASHES = { dusk: 'd'.repeat(64), kerb: 'e'.repeat(64) };

function manifest(fingerprint = 'f1', ids: (keyof typeof HASHES)[] = ['dusk', 'kerb']): Manifest {
  return {
    version: 1,
    fingerprint,
    tracks: ids.map((id) => ({
      id,
      file: `${id}.wav`,
      title: `The ${id}`,
      artist: 'Marl Quay',
      genre: 'house',
      duration: 8,
      bytes: 4,
      truth: `${id}.truth.json`,
      analysis: `${id}.analysis.bin`,
      analysisBytes: 1,
      hash: HASHES[id],
      tags: { ...tags(`The ${id}`), year: 2031 },
    })),
  };
}

const serving = (files: Record<string, BodyInit>) => async (url: string) =>
  url in files ? new Response(files[url]) : new Response('<!doctype html>', { status: 200 });

async function read(fingerprint?: string): Promise<DemoManifest> {
  const read = await fetchManifest(
    serving({ 'demo/manifest.json': JSON.stringify(manifest(fingerprint)) }),
    'demo/',
  );
  return read!;
}

const setting = (fingerprint: string, seen: string[], state: 'shown' | 'removed' = 'shown') => ({
  state,
  fingerprint,
  seen,
});

describe('the manifest', () => {
  test('that the demo renderer writes is understood', async () => {
    expect((await read()).tracks.map((t) => [t.id, t.hash])).toEqual([
      ['dusk', HASHES.dusk],
      ['kerb', HASHES.kerb],
    ]);
  });

  test('a server that answers with the page, an error, or nothing: there is no demo', async () => {
    expect(await fetchManifest(serving({}), 'demo/')).toBeNull();
    expect(await fetchManifest(async () => new Response('', { status: 404 }), 'demo/')).toBeNull();
    expect(await fetchManifest(() => Promise.reject(new TypeError('offline')), 'demo/')).toBeNull();
    expect(await fetchManifest(serving({ 'demo/manifest.json': '{"tracks":[{}]}' }), 'demo/')).toBeNull();
  });
});

describe('the plan', () => {
  test('the first time everything is put in', async () => {
    const plan = planDemo(await read(), null, [], new Set())!;
    expect(plan.install.map((t) => t.id)).toEqual(['dusk', 'kerb']);
    expect(plan.setting).toEqual(setting('f1', ['dusk', 'kerb']));
  });

  test('the same rendering again, or a removed demo: nothing', async () => {
    expect(planDemo(await read(), setting('f1', ['dusk', 'kerb']), [], new Set())).toBeNull();
    expect(planDemo(await read('f2'), setting('f1', [], 'removed'), [], new Set())).toBeNull();
  });

  test('a new rendering replaces what is there, leaves out what was removed, adds what is new', async () => {
    const old = record('old-dusk', { demo: { id: 'dusk', url: 'demo/dusk.wav' } });
    const plan = planDemo(await read('f2'), setting('f1', ['dusk', 'kerb']), [old], new Set())!;
    expect(plan.install.map((t) => t.id)).toEqual(['dusk']);
    expect(plan.replaced).toEqual([old]);
    const grown = planDemo(await read('f2'), setting('f1', ['dusk']), [old], new Set())!;
    expect(grown.install.map((t) => t.id)).toEqual(['dusk', 'kerb']);
  });

  test('a track with work of the person on it is not replaced, and one of equal content only renewed', async () => {
    const edited = record('old-dusk', { demo: { id: 'dusk', url: 'demo/dusk.wav' } });
    const same = record(HASHES.kerb, { demo: { id: 'kerb', url: 'demo/kerb.wav' } });
    const seen = setting('f1', ['dusk', 'kerb']);
    const plan = planDemo(await read('f2'), seen, [edited, same], new Set(['old-dusk']))!;
    expect(plan.install.map((t) => t.id)).toEqual(['dusk', 'kerb']);
    expect(plan.replaced).toEqual([]);
  });
});

describe('a demo track', () => {
  test('comes with its analysis, its tags and the address of its audio', async () => {
    const [dusk] = (await read()).tracks;
    const fetch = serving({ 'demo/dusk.analysis.bin': encodeAnalysis(analysis(131)) });
    const delivery = await fetchDemoTrack(fetch, 'demo/', dusk, 77);
    if (delivery.kind !== 'ready') throw new Error(delivery.kind);
    expect(delivery.analysis).toEqual(analysis(131));
    expect(delivery.track).toMatchObject({
      id: HASHES.dusk,
      size: 4,
      addedAt: 77,
      demo: { id: 'dusk', url: 'demo/dusk.wav' },
      tags: { title: 'The dusk', year: 2031, genre: 'house' },
      summary: { tempo: 131 },
    });
    expect(delivery.track.tags).not.toHaveProperty('cover');
  });

  test('without a finished analysis its audio goes to the queue', async () => {
    const [dusk] = (await read()).tracks;
    const fetch = serving({ 'demo/dusk.wav': 'RIFF' });
    const delivery = await fetchDemoTrack(fetch, 'demo/', { ...dusk, analysis: null }, 77);
    if (delivery.kind !== 'to-analyse') throw new Error(delivery.kind);
    expect(await delivery.file.text()).toBe('RIFF');
    expect(delivery.demo).toEqual({ id: 'dusk', url: 'demo/dusk.wav' });
  });

  test('a damaged analysis is a sentence that names the track', async () => {
    const [dusk] = (await read()).tracks;
    const delivery = await fetchDemoTrack(serving({}), 'demo/', dusk, 77);
    if (delivery.kind !== 'fault') throw new Error(delivery.kind);
    expect(delivery.sentence).toContain('“The dusk”');
    const missing = await fetchDemoTrack(async () => new Response('', { status: 404 }), 'demo/', dusk, 77);
    expect(missing).toEqual({ kind: 'fault', sentence: SENTENCES.demoBroken('The dusk', 'status 404') });
  });
});
