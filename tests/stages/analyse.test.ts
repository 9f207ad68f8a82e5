import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { decodeAnalysis, encodeAnalysis } from '../../shared/analysis-codec.ts';
import { mainTempo } from '../../shared/grid/grid.ts';
import { LAYERS } from '../../shared/bands.ts';
import { type EarlyTrack, analyseTrack } from '../../workers/analyse.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { floatWav } from '../fixtures/signal.ts';
import { runStage, sine } from './signals.ts';
import { createPyramidStage } from '../../workers/stages/pyramid.ts';
import { ARTIST, BPM, TITLE, patternWav, watchedSource } from './wave.ts';

const SECONDS = 40;
const wav = patternWav(SECONDS);

describe('the whole analysis', () => {
  it('fills every part of the result', async () => {
    const shares: number[] = [];
    const { analysis, tags, hash, preview } = await analyseTrack(bytesSource(wav, 'loop.wav'), {
      onProgress: (share) => shares.push(share),
    });
    expect(tags).toMatchObject({ title: TITLE, artist: ARTIST });
    expect(hash).toBe(createHash('sha256').update(wav).digest('hex'));
    expect(analysis.source).toMatchObject({
      container: 'wav',
      codec: 'pcm',
      sampleRate: 44_100,
      channels: 2,
    });
    expect(analysis.duration).toBeCloseTo(SECONDS, 3);
    expect(analysis.pyramid.duration).toBe(analysis.duration);
    expect(analysis.partial).toBeNull();
    expect(analysis.silent).toBe(false);
    expect(analysis.peak).toBeGreaterThan(0.5);
    const full = analysis.pyramid.levels[0].peak[LAYERS.indexOf('full')];
    expect(analysis.peak).toBe(Math.max(...full));
    expect(Math.abs((mainTempo(analysis.grid) ?? 0) - BPM)).toBeLessThan(0.5);
    expect(analysis.loudness?.integratedDb).toBeLessThan(0);
    expect(preview.samples.length / preview.sampleRate).toBeCloseTo(SECONDS, 2);
    expect(shares[shares.length - 1]).toBe(1);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect(decodeAnalysis(encodeAnalysis(analysis))).toEqual(analysis);
  });

  it('reads the file once', async () => {
    const watched = watchedSource(wav, 'loop.wav');
    await analyseTrack(watched);
    const bytes = watched.reads.reduce((sum, { start, end }) => sum + Math.max(0, end - start), 0);
    // Tags and the format are read from the file's first bytes before the audio.
    expect(bytes).toBeLessThan(wav.length + 1_000_000);
  });

  it('gives an early picture after a small part of the file, then every tenth', async () => {
    let share = 0;
    const seen: { share: number; early: EarlyTrack }[] = [];
    const { analysis } = await analyseTrack(bytesSource(wav, 'loop.wav'), {
      onProgress: (s) => (share = s),
      onEarly: (early) => seen.push({ share, early }),
    });
    expect(seen.length).toBeGreaterThanOrEqual(5);
    expect(seen[0].share).toBeLessThan(0.25);
    const reached = seen.map(({ early }) => early.pyramid.duration);
    expect(reached).toEqual([...reached].sort((a, b) => a - b));
    for (const { early } of seen) {
      expect(early.tags.title).toBe(TITLE);
      expect(early.expectedDuration).toBeCloseTo(SECONDS, 0);
      const [level] = early.pyramid.levels;
      expect(Math.max(...level.peak[LAYERS.indexOf('full')])).toBeLessThanOrEqual(analysis.peak);
      expect(level.length * level.hop).toBeLessThanOrEqual(early.pyramid.duration + level.hop);
    }
  });

  it('is the same as the stage alone over the same samples', async () => {
    const tone = sine(44_100 * 3, 440, 44_100, 0.3);
    const { analysis } = await analyseTrack(bytesSource(floatWav([tone, tone], 44_100), 'tone.wav'));
    const alone = runStage(createPyramidStage({ sampleRate: 44_100, channels: 2 }), [tone, tone]);
    expect(analysis.pyramid).toEqual(alone);
  });

  it('keeps float peaks above full scale, and survives samples that are not numbers', async () => {
    const tone = sine(44_100, 440, 44_100, 0.5);
    tone[20_000] = 1.5;
    tone[10_000] = NaN;
    tone[10_001] = Infinity;
    const { analysis } = await analyseTrack(bytesSource(floatWav([tone], 44_100), 'odd.wav'));
    expect(analysis.peak).toBe(1.5);
    for (const { rms } of analysis.pyramid.levels)
      for (const layer of rms) expect(layer.every((value) => value >= 0 && value < 2)).toBe(true);
    const last = analysis.pyramid.levels[0].rms[LAYERS.indexOf('middle')];
    expect(last[last.length - 2]).toBeGreaterThan(0.2);
  });

  it('knows silence', async () => {
    const quiet = new Float32Array(44_100 * 3);
    const { analysis } = await analyseTrack(bytesSource(floatWav([quiet, quiet], 44_100), 'quiet.wav'));
    expect(analysis).toMatchObject({ silent: true, peak: 0, loudness: null, key: null });
    expect(analysis.grid.kind).toBe('none');
  });

  it('stops when it is told to', async () => {
    for (const when of [0, 0.5]) {
      const abort = new AbortController();
      const reason = new Error('enough');
      const work = analyseTrack(bytesSource(wav, 'loop.wav'), {
        signal: abort.signal,
        onProgress: (share) => share >= when && abort.abort(reason),
      });
      await expect(work).rejects.toThrow();
      expect(abort.signal.aborted).toBe(true);
    }
    const none = analyseTrack(bytesSource(wav, 'loop.wav'), {
      signal: AbortSignal.abort(new Error('before')),
    });
    await expect(none).rejects.toThrow('before');
  });

  it('a file that breaks off is analysed as far as it goes, and says so', async () => {
    const { analysis } = await analyseTrack(bytesSource(wav.slice(0, wav.length / 2), 'half.wav'));
    expect(analysis.duration).toBeCloseTo(SECONDS / 2, 1);
    expect(analysis.partial?.reason).toBe('truncated');
    expect(analysis.partial?.sentence).toContain('half.wav');
  });

  it('says in one sentence what is wrong with a file that is none', async () => {
    for (const bytes of [new Uint8Array(), new TextEncoder().encode('<!doctype html><p>Not here.')])
      await expect(analyseTrack(bytesSource(bytes, 'odd.mp3'))).rejects.toThrow(/^“odd\.mp3” .*\.$/);
  });
});
