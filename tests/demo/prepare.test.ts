import { mkdtemp, readdir, readFile, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { TrackSpec } from '../../demo/arrange/spec.ts';
import type { Manifest, TruthFile } from '../../demo/manifest.ts';
import { prepareDemo } from '../../demo/prepare.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { decodeAnalysis } from '../../shared/analysis-codec.ts';

/** Two tracks of 8 bars. */
const tracks: TrackSpec[] = SCENARIO.tracks.slice(0, 2).map((spec) => ({
  ...spec,
  sections: [{ label: 'drop', bars: 8, parts: { kick: true, hat: true, bass: true } }],
}));

let folder: string;
let lines: string[];
const run = async () => {
  lines = [];
  return JSON.parse(
    await readFile(await prepareDemo({ folder, tracks, log: (line) => lines.push(line) }), 'utf8'),
  ) as Manifest;
};

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'demo-set-'));
});
afterEach(() => rm(folder, { recursive: true }));

describe('prepareDemo', () => {
  it('writes audio, truth, analysis and a manifest that fits them, and nothing else', async () => {
    const manifest = await run();
    expect(manifest.tracks.map((t) => t.title)).toEqual(tracks.map((t) => t.title));
    for (const track of manifest.tracks) {
      expect((await stat(join(folder, track.file))).size).toBe(track.bytes);
      const { truth } = JSON.parse(await readFile(join(folder, track.truth), 'utf8')) as TruthFile;
      expect(truth.duration).toBe(track.duration);
      const analysis = decodeAnalysis(new Uint8Array(await readFile(join(folder, track.analysis))));
      expect(analysis.duration).toBeCloseTo(track.duration, 4);
      expect(analysis.peak).toBeCloseTo(10 ** (-0.5 / 20), 2);
      expect(track.hash).toMatch(/^[0-9a-f]{64}$/);
      expect(track.tags).toMatchObject({ title: track.title, artist: track.artist });
    }
    expect(await readdir(folder)).toHaveLength(1 + 3 * tracks.length);
  });

  it('does nothing the second time', async () => {
    const first = await run();
    const before = await stat(join(folder, 'manifest.json'));
    expect(await run()).toEqual(first);
    expect((await stat(join(folder, 'manifest.json'))).mtimeMs).toBe(before.mtimeMs);
    expect(lines).toEqual(['Demo set: ready (2 tracks).']);
  });

  it('makes good what an interrupted run or a damaged file has left', async () => {
    const first = await run();
    // As if the run had ended while the second track was being written.
    await rm(join(folder, 'manifest.json'));
    await rm(join(folder, first.tracks[1].truth));
    await truncate(join(folder, first.tracks[1].file), 1000);
    await writeFile(join(folder, 'stray.wav'), 'x');
    expect(await run()).toEqual(first);
    expect(lines[0]).toContain('audio kept');
    expect(lines[1]).toContain('rendered');
    expect(await readdir(folder)).not.toContain('stray.wav');
    await truncate(join(folder, first.tracks[0].file), 1000);
    expect((await run()).tracks[0].hash).toBe(first.tracks[0].hash);
  });
});
