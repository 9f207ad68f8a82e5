/** Played rock and metal with a published tempo map (see song-package.ts). */
import { describe, expect, it } from 'vitest';
import { mainTempo } from '../../shared/grid/grid.ts';
import { beatTimes, gridOf } from './helpers.ts';
import { amlt, cmlt, fMeasure, nearest } from './metrics.ts';
import { loadSong, publishedSongs } from './song-package.ts';

const songs = publishedSongs();

describe.skipIf(!songs)('songs with a published tempo map', () => {
  it('have the right tempo, and beats on the map', { timeout: 240_000 }, async () => {
    expect(songs!.length).toBeGreaterThanOrEqual(4);
    let tempi = 0;
    let onBeat = 0;
    let allowed = 0;
    for (const published of songs!) {
      const song = await loadSong(published);
      const grid = gridOf(song.channels, song.sampleRate);
      const beats = beatTimes(grid, song.beats);
      const tempo = mainTempo(grid) ?? 0;
      // The map's own zero need not be the first sample to the millisecond: its median distance is printed.
      const offsets = song.beats
        .map((b) => (beats.length ? beats[nearest(beats, b)] - b : NaN))
        .sort((a, b) => a - b);
      const offset = offsets[offsets.length >> 1];
      console.log(
        `${published.name}: map ${song.bpm.toFixed(3)} bpm, found ${tempo.toFixed(3)} (${grid.kind}), ` +
          `F ${fMeasure(song.beats, beats).toFixed(3)}, CMLt ${cmlt(song.beats, beats).toFixed(3)}, ` +
          `AMLt ${amlt(song.beats, beats).toFixed(3)}, median offset ${(offset * 1000).toFixed(1)} ms, ` +
          `confidence ${grid.confidence.toFixed(2)}`,
      );
      if (Math.abs(tempo / song.bpm - 1) < 1e-3) tempi++;
      if (fMeasure(song.beats, beats) > 0.95) onBeat++;
      if (amlt(song.beats, beats) > 0.95) allowed++;
    }
    expect(tempi).toBe(songs!.length);
    // One of the four (at 150 bpm) is heard half a beat away.
    expect(onBeat).toBeGreaterThanOrEqual(songs!.length - 1);
    expect(allowed).toBe(songs!.length);
  });
});
