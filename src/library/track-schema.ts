/** The shape of a track's record, for records that come from outside. What the list and the player read must fit; whatever else it has is kept. */
import * as v from 'valibot';

const finite = v.pipe(v.number(), v.finite());
/** Levels in dB: silence is −∞. */
const level = v.pipe(
  v.number(),
  v.check((x) => !Number.isNaN(x), 'a level in dB'),
);
const text = v.nullish(v.string());

export const TrackRecordSchema = v.looseObject({
  id: v.pipe(v.string(), v.minLength(1), v.maxLength(200)),
  name: v.string(),
  size: finite,
  addedAt: finite,
  order: finite,
  duration: v.pipe(finite, v.minValue(0)),
  tags: v.looseObject({
    title: v.string(),
    artist: text,
    album: text,
    genre: text,
    year: v.nullish(finite),
    comment: text,
    key: text,
    bpm: text,
    isrc: text,
  }),
  source: v.looseObject({
    container: v.string(),
    codec: v.string(),
    sampleRate: finite,
    channels: finite,
    bitDepth: v.nullish(finite),
    bitrate: v.nullish(finite),
  }),
  partial: v.nullish(v.looseObject({ reason: v.string(), sentence: v.string() })),
  summary: v.looseObject({
    silent: v.boolean(),
    tempo: v.nullable(finite),
    tempoConfidence: finite,
    key: v.nullish(v.looseObject({ name: v.string(), confidence: finite })),
    loudnessDb: v.nullish(level),
  }),
  secondOpinion: v.nullish(v.looseObject({ bpm: v.nullable(finite), offset: v.nullable(finite) })),
  demo: v.nullish(v.looseObject({ id: v.string(), url: v.string() })),
  tempoAround: v.nullish(finite),
  removedAt: v.nullish(finite),
});
