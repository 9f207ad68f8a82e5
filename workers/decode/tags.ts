/** Reads the tags of a file. First version: streams the file's start; tags at the very end are not looked for. */
import { parseWebStream } from 'music-metadata';
import type { TrackTags } from '../../shared/tags.ts';
import type { ByteSource } from './types.ts';

const READ_BYTES = 128 * 1024;

/** Never throws: a file without readable tags has its name as title. */
export async function readTags(source: ByteSource): Promise<TrackTags> {
  let at = 0;
  const stream = new ReadableStream<Uint8Array>({
    async pull(controller) {
      const bytes = await source.read(at, Math.min(source.size, at + READ_BYTES));
      at += bytes.length;
      if (bytes.length) controller.enqueue(bytes);
      else controller.close();
    },
  });
  const title = source.name.replace(/\.[a-z0-9]{2,4}$/i, '') || source.name;
  try {
    const { common } = await parseWebStream(
      stream,
      { path: source.name, size: source.size },
      { duration: false },
    );
    const [picture] = common.picture ?? [];
    return {
      title: common.title ?? title,
      artist: common.artist ?? null,
      album: common.album ?? null,
      genre: common.genre?.join(', ') ?? null,
      year: common.year ?? null,
      comment: common.comment?.[0]?.text ?? null,
      key: common.key ?? null,
      bpm: common.bpm === undefined ? null : String(common.bpm),
      isrc: common.isrc?.[0] ?? null,
      cover: picture ? { mime: picture.format, bytes: new Uint8Array(picture.data) } : null,
    };
  } catch {
    const none = { artist: null, album: null, genre: null, year: null, comment: null };
    return { title, ...none, key: null, bpm: null, isrc: null, cover: null };
  }
}
