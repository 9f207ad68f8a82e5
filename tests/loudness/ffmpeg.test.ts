/** Second opinion: ffmpeg's `ebur128` filter (Debian package, tests only) on the same samples. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { measure, noise } from './signals.ts';

const found = spawnSync('ffmpeg', ['-version']).status === 0;
if (!found) console.log('skipped: loudness against ffmpeg (ffmpeg is not installed)');

/** A made-up piece: hiss that swells and falls, a low pulse, silence in the middle. */
function piece(seconds: number, seed: number, rate: number): Float32Array {
  const hiss = noise(seconds, seed, rate);
  return hiss.map((x, i) => {
    const t = i / rate;
    const swell =
      t > seconds / 2 && t < seconds / 2 + 4 ? 0 : 0.02 + 0.3 * Math.sin((Math.PI * t) / seconds) ** 2;
    return swell * x + 2 * swell * Math.sin(2 * Math.PI * 60 * t) * Math.exp(-4 * (t % 0.5));
  });
}

function ffmpegFigures(channels: Float32Array[], rate: number) {
  const folder = mkdtempSync(join(tmpdir(), 'loudness-'));
  try {
    const interleaved = new Float32Array(channels[0].length * channels.length);
    channels.forEach((c, n) => c.forEach((x, i) => (interleaved[i * channels.length + n] = x)));
    const raw = join(folder, 'piece.f32');
    writeFileSync(raw, interleaved);
    const format = ['-f', 'f32le', '-ar', String(rate), '-ac', String(channels.length)];
    const report = spawnSync(
      'ffmpeg',
      ['-hide_banner', '-nostats', ...format, '-i', raw, '-af', 'ebur128=peak=true', '-f', 'null', '-'],
      { encoding: 'utf8' },
    ).stderr;
    const summary = report.slice(report.lastIndexOf('Summary:'));
    const figure = (name: string) => Number(new RegExp(`${name}:\\s+(-?[\\d.]+)`).exec(summary)?.[1]);
    return { integrated: figure('I'), range: figure('LRA'), peak: figure('Peak') };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

describe.skipIf(!found)('against the ebur128 filter of ffmpeg', () => {
  it.each([
    { rate: 48000, channels: 2 },
    { rate: 44100, channels: 2 },
    { rate: 44100, channels: 1 },
    { rate: 96000, channels: 2 },
    { rate: 22050, channels: 2 },
    { rate: 48000, channels: 6 },
  ])('$channels channel(s) at $rate Hz', ({ rate, channels }) => {
    const signals = Array.from({ length: channels }, (_, c) => piece(40, c + 1, rate));
    const theirs = ffmpegFigures(signals, rate);
    const ours = measure(signals, rate)!;
    // The summary is printed to 0.1.
    expect(Math.abs(ours.integratedDb - theirs.integrated)).toBeLessThanOrEqual(0.1);
    expect(Math.abs(ours.rangeDb - theirs.range)).toBeLessThanOrEqual(0.3);
    // Two interpolation filters of different length; BS.1770-4 leaves the filter open.
    expect(Math.abs(ours.truePeakDb - theirs.peak)).toBeLessThanOrEqual(0.4);
  });
});
