/** The audio itself: kept in the browser only when the person allows it and there is room. */
import type { LibraryDb } from './schema.ts';
import { writing } from './transaction.ts';
import { isQuotaError, noRoomSentence, roomFor, type StorageLike } from './room.ts';

export interface Keeping {
  kept: boolean;
  /** Why there was no room; null when it is kept or the track is gone. */
  sentence: string | null;
}

/**
 * Stores a track's audio. A transaction of its own, after the track's: audio that does not fit must not take
 * the analysis down with it, and whether audio is there is never noted anywhere else.
 * @returns whether it is kept, with the sentence when there was no room; other errors are thrown
 */
export async function keepAudio(
  db: LibraryDb,
  track: { id: string; name: string },
  audio: Blob,
  storage: StorageLike | undefined,
  now: number,
): Promise<Keeping> {
  const room = await roomFor(audio.size, storage);
  if (!room.enough) return { kept: false, sentence: noRoomSentence(track.name, audio.size, room) };
  try {
    const there = await writing(db, ['tracks', 'audio'], async (transaction) => {
      // Removed in another tab meanwhile: nothing to hang the audio on.
      if ((await transaction.objectStore('tracks').getKey(track.id)) === undefined) return false;
      await transaction.objectStore('audio').put({ id: track.id, audio, keptAt: now });
      return true;
    });
    return { kept: there, sentence: null };
  } catch (error) {
    if (!isQuotaError(error)) throw error;
    const after = await roomFor(audio.size, storage);
    return { kept: false, sentence: noRoomSentence(track.name, audio.size, after) };
  }
}

/** The kept audio of a track, or null. */
export async function readAudio(db: LibraryDb, id: string): Promise<Blob | null> {
  return (await db.get('audio', id))?.audio ?? null;
}

/** Ids of the tracks whose audio is kept. */
export async function keptAudioIds(db: LibraryDb): Promise<Set<string>> {
  return new Set(await db.getAllKeys('audio'));
}

/** How many bytes of audio are kept of each track; the audio itself is not read. */
export async function keptAudioSizes(db: LibraryDb): Promise<Map<string, number>> {
  const sizes = new Map<string, number>();
  let cursor = await db.transaction('audio').store.openCursor();
  while (cursor) {
    sizes.set(cursor.value.id, cursor.value.audio.size);
    cursor = await cursor.continue();
  }
  return sizes;
}

/** Frees the room of some tracks' kept audio; tracks and pictures stay. */
export async function dropAudio(db: LibraryDb, ids: readonly string[]): Promise<void> {
  await writing(db, ['audio'], async ({ store }) => {
    for (const id of ids) await store.delete(id);
  });
}

/** Frees the room of all kept audio; tracks and pictures stay. */
export async function dropAllAudio(db: LibraryDb): Promise<void> {
  await db.clear('audio');
}
