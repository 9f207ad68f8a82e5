/** The tracks of the bench: made once by our own synthesiser and ffmpeg, kept in .cache/fixtures. */
import { renderTrack } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { encodeWav } from '../../demo/wav.ts';
import { latin1 } from '../../workers/write/fields.ts';
import { frameFor, newTag, tagBytes } from '../../workers/write/id3/tag.ts';
import { joinBytes } from '../../workers/write/parts.ts';
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

/** MP3 frames behind an ID3 tag with a title, in ASCII. */
export function titled(frames: Uint8Array, title: string): Uint8Array {
  const tag = newTag();
  // The first byte names the encoding: ISO 8859-1.
  tag.frames.push(frameFor(tag, 'TIT2', latin1(`\0${title}`)));
  return joinBytes([tagBytes(tag, title), frames]);
}
