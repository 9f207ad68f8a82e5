/** The tracks of the bench: made once by our own synthesiser and ffmpeg, kept in .cache/fixtures. */
import { renderTrack } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { encodeWav } from '../../demo/wav.ts';
import { encoded, made } from '../fixtures/ffmpeg.ts';
import { seededRandom } from '../stages/signals.ts';

const MP3_320 = ['-c:a', 'libmp3lame', '-b:a', '320k'];

/** A demo track as a 320 kb/s MP3 of just `minutes`; it starts again where it is too short. Needs ffmpeg. */
export function benchMp3(minutes: number): string {
  const spec = SCENARIO.tracks[0];
  const wav = made(`bench, ${minutes} minutes of ${JSON.stringify(spec)}`, `bench-${minutes}.wav`, () => {
    const { left, right, sampleRate } = renderTrack(spec);
    const frames = minutes * 60 * sampleRate;
    const repeat = (samples: Float32Array) => {
      const all = new Float32Array(frames);
      for (let at = 0; at < frames; at += samples.length)
        all.set(samples.subarray(0, Math.min(samples.length, frames - at)), at);
      return all;
    };
    return encodeWav(
      repeat(left),
      repeat(right),
      sampleRate,
      { INAM: spec.title, IART: spec.artist },
      seededRandom(1),
    );
  });
  return encoded(wav, `bench-${minutes}.mp3`, MP3_320);
}

/** The track of `benchMp3(minutes)`, over and over to `times` its length, as one 320 kb/s MP3. Needs ffmpeg. */
export function longMp3(minutes: number, times: number): string {
  const [rate, all] = [44_100, minutes * times];
  const loop = `aloop=loop=${times - 1}:size=${minutes * 60 * rate}`;
  return encoded(benchMp3(minutes), `bench-${all}.mp3`, ['-af', loop, '-t', String(all * 60), ...MP3_320]);
}

/** A 3-minute 128 kb/s MP3 without tags, to be made into many. Needs ffmpeg. */
export const plainMp3 = (): string =>
  encoded(benchMp3(3), 'bench-plain.mp3', [
    '-c:a',
    'libmp3lame',
    '-b:a',
    '128k',
    '-map_metadata',
    '-1',
    '-id3v2_version',
    '0',
  ]);

/** MP3 frames behind an ID3v2.3 tag with a title (id3.org, "ID3 tag version 2.3.0", sections 3.1, 3.3 and 4.2.1). */
export function titled(frames: Uint8Array, title: string): Uint8Array {
  const text = new TextEncoder().encode(title);
  const frame = [...new TextEncoder().encode('TIT2'), 0, 0, 0, text.length + 1, 0, 0, 0, ...text];
  const header = [...new TextEncoder().encode('ID3'), 3, 0, 0, 0, 0, 0, frame.length];
  if (frame.length > 127) throw new RangeError('too long a title');
  const file = new Uint8Array(header.length + frame.length + frames.length);
  file.set([...header, ...frame]);
  file.set(frames, header.length + frame.length);
  return file;
}
