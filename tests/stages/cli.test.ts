import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import type { TrackReport } from '../../workers/cli/text.ts';
import { ARTIST, BPM, TITLE, patternWav } from './wave.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'boothproof-'));
const good = join(folder, 'loop.wav');
const bad = join(folder, 'words.mp3');
const missing = join(folder, 'missing.flac');
writeFileSync(good, patternWav(30));
writeFileSync(bad, 'just some words');
afterAll(() => rmSync(folder, { recursive: true }));

function cli(...words: string[]) {
  const child = spawnSync(process.execPath, ['--import', 'tsx', 'workers/cli/analyse.ts', ...words], {
    cwd: ROOT,
    encoding: 'utf8',
  });
  return { code: child.status, out: child.stdout, err: child.stderr };
}

describe('npm run analyse', () => {
  it('prints a track as text', () => {
    const { code, out, err } = cli(good);
    expect(err).toBe('');
    expect(code).toBe(0);
    const line = (name: string) => new RegExp(`^  ${name} +(.*)$`, 'm').exec(out)?.[1];
    expect(line('Title')).toBe(TITLE);
    expect(line('Artist')).toBe(ARTIST);
    expect(line('Duration')).toBe('30.000 s (0:30)');
    expect(line('Sample rate')).toBe('44100 Hz');
    expect(line('Channels')).toBe('2');
    expect(line('Tempo')).toMatch(/^\d+\.\d{3} bpm/);
    expect(Math.abs(parseFloat(line('Tempo') ?? '') - BPM)).toBeLessThan(0.5);
    expect(line('First beat')).toMatch(/^\d+\.\d{3} s$/);
    expect(line('Beats')).toMatch(/^(\d+\.\d{3} ){4}… (\d+\.\d{3} ){4}\(\d+\)$/);
    expect(line('Downbeats')).toMatch(/\(\d+\)$/);
    expect(line('Confidence')).toMatch(/^[01]\.\d\d /);
    expect(line('Loudness')).toMatch(/LUFS integrated/);
    expect(line('Peak')).toMatch(/^[01]\.\d{4} \(-?\d+\.\d\d dBFS\)$/);
    expect(line('Analysis time')).toMatch(/^\d+\.\d\d s$/);
  });

  it('--json: one array and nothing else; a bad file is an entry, and the rest goes on', () => {
    const { code, out, err } = cli('--json', bad, good, missing);
    expect(code).toBe(1);
    const [first, second, third] = JSON.parse(out) as (TrackReport & { error?: string })[];
    expect(first).toEqual({ file: bad, error: expect.stringContaining('words.mp3') });
    expect(third).toEqual({ file: missing, error: expect.stringContaining('missing.flac') });
    expect(err.trim().split('\n')).toEqual([first.error, third.error]);
    expect(second).toMatchObject({
      file: good,
      title: TITLE,
      artist: ARTIST,
      sampleRate: 44_100,
      channels: 2,
    });
    expect(second.beats.length).toBeGreaterThan(50);
    expect(second.firstBeat).toBe(second.beats[0]);
    expect(second.beats).toEqual(expect.arrayContaining(second.downbeats));
    expect(second.peakDb).toBeCloseTo(20 * Math.log10(second.peak), 10);
  });

  it('bad input: its sentence on the standard error, exit code 1, and goes on', () => {
    const { code, out, err } = cli(missing, good);
    expect(code).toBe(1);
    expect(err).toMatch(/^“missing\.flac” .*\.\n$/);
    expect(out).toContain(TITLE);
  });

  it('--tempo-around: takes the tempo of which the person says what it is about', () => {
    const [doubled] = JSON.parse(cli('--json', '--tempo-around', String(2 * BPM), good).out) as TrackReport[];
    expect(doubled.tempo).toBeCloseTo(2 * BPM, 1);
    const text = cli('--tempo-around', String(BPM + 4), good).out;
    expect(text).toMatch(new RegExp(`Tempo +${BPM}\\.000 bpm`));
    for (const word of ['fast', '0', '-87', '']) {
      const { code, out, err } = cli('--tempo-around', word, good);
      expect({ code, out }).toEqual({ code: 2, out: '' });
      expect(err).toContain('--tempo-around needs a number');
    }
  });

  it('--help explains, no file or an unknown option is refused', () => {
    expect(cli('--help')).toMatchObject({ code: 0, out: expect.stringContaining('--json'), err: '' });
    expect(cli()).toMatchObject({ code: 2, out: '', err: expect.stringContaining('Usage') });
    expect(cli('--colour', good)).toMatchObject({ code: 2, err: expect.stringContaining('--colour') });
  });
});
