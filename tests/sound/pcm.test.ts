/** A whole track as samples for the player. */
import { describe, expect, it } from 'vitest';
import { openTrack } from '../../workers/decode/open.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { readPcm } from '../../workers/pcm.ts';
import { patternWav } from '../stages/wave.ts';

const open = (seconds: number) => openTrack(bytesSource(patternWav(seconds), 'a.wav'), {});

describe('reading a track for the player', () => {
  it('gives every sample of both channels', async () => {
    const track = await open(3);
    const { channels, sampleRate } = await readPcm(track, 'a.wav', track.format.sampleRate);
    expect(sampleRate).toBe(track.format.sampleRate);
    const blocks: Float32Array[][] = [];
    for await (const block of (await open(3)).blocks()) blocks.push(block.map((c) => new Float32Array(c)));
    for (const c of [0, 1]) {
      const whole = blocks.flatMap((block) => [...block[c]]);
      expect(channels[c]).toEqual(Float32Array.from(whole));
    }
    expect(channels[0].some((v) => v !== 0)).toBe(true);
    expect(channels[0]).not.toEqual(channels[1]);
  });

  it('keeps the time at another rate', async () => {
    const track = await open(2);
    const own = await readPcm(await open(2), 'a.wav', track.format.sampleRate);
    const other = await readPcm(track, 'a.wav', 48_000);
    expect(other.channels[0].length).toBe(
      Math.ceil((own.channels[0].length * 48_000) / track.format.sampleRate),
    );
    // 147 samples of the one take the time of 160 of the other.
    expect(track.format.sampleRate).toBe(44_100);
    let [level, off] = [0, 0];
    for (let k = 1; k < 2 * 300 - 1; k++) {
      const mine = own.channels[0][k * 147];
      level += mine ** 2;
      off += (mine - other.channels[0][k * 160]) ** 2;
    }
    expect(level).toBeGreaterThan(1);
    expect(off / level).toBeLessThan(1e-3);
  });

  it('stops when it is told to', async () => {
    const abort = new AbortController();
    abort.abort();
    await expect(readPcm(await open(1), 'a.wav', 44_100, abort.signal)).rejects.toThrow();
  });

  it('says that a file holds no sound', async () => {
    const silent = { ...(await open(1)), blocks: async function* () {} };
    await expect(readPcm({ ...silent, partial: null }, 'a.wav', 44_100)).rejects.toThrow(/a\.wav/);
  });
});
