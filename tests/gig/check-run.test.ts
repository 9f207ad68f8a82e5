/** The check as it runs: progress, stop, what is read again; and remedies as steps of a track's history. */
import { describe, expect, it } from 'vitest';
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { takeSlot } from '../../shared/markers/edit.ts';
import type { GigSet } from '../../shared/gig/types.ts';
import { GigCheck } from '../../src/gig/check.svelte.ts';
import { mendTrack, type TrackShelf } from '../../src/gig/tracks.ts';
import type { EditRecord } from '../../src/library/records.ts';
import * as history from '../../src/mark/history.ts';
import { beat, cue, DECKS, GRID, DURATION, poor, wide } from '../survival/helpers.ts';
import { boothOf, entry, setOf, setTrack } from './helpers.ts';

const tracks = ['a', 'b', 'c'].map((id) => setTrack(id));
const booth = boothOf(wide, poor);
const set = setOf(...tracks.map((track) => entry(track)));

/** Counts which tracks are read. */
function shelf() {
  const read: string[] = [];
  return {
    read,
    trackOf: async (id: string) => {
      read.push(id);
      return tracks.find((track) => track.id === id) ?? null;
    },
  };
}

describe('the check of a set', () => {
  it('rises to the end, keeps no pyramid, and reads again only what has changed', async () => {
    const check = new GigCheck();
    const { read, trackOf } = shelf();
    const shares: number[] = [];
    await check.make(set, booth, DECKS, async (id) => {
      shares.push(check.share);
      expect(check.status).toBe('running');
      return trackOf(id);
    });
    expect(shares).toEqual([0, 1 / 3, 2 / 3]);
    expect(check).toMatchObject({ status: 'done', share: 1 });
    expect(check.result?.card.tracks.map(({ strip }) => strip?.count)).toEqual([400, 400, 400]);
    for (const track of check.result!.tracks) expect(Object.keys(track)).not.toContain('pyramid');

    // A new mix point in one of them; another was mended.
    const changed: GigSet = {
      ...set,
      entries: set.entries.map((each, i) => (i === 1 ? { ...each, mixIn: beat(64) } : each)),
    };
    check.forget('c');
    expect(check.status).toBe('stale');
    await check.make(changed, booth, DECKS, trackOf);
    expect(read).toEqual(['a', 'b', 'c', 'b', 'c']);
    // Other decks: everything.
    await check.make(changed, boothOf(poor), DECKS, trackOf);
    expect(read.slice(5)).toEqual(['a', 'b', 'c']);
  });

  it('stops where it is, tells no half result, and can be made again', async () => {
    const check = new GigCheck();
    const { read, trackOf } = shelf();
    await check.make(set, booth, DECKS, async (id) => {
      if (id === 'b') check.stop();
      return trackOf(id);
    });
    expect(check).toMatchObject({ status: 'stopped', result: null });
    expect(read).toEqual(['a', 'b']);
    await check.make(set, booth, DECKS, trackOf);
    expect(check.status).toBe('done');
    expect(read).toEqual(['a', 'b', 'b', 'c']);
  });

  it('of a set that was changed meanwhile gives way to the newer one', async () => {
    const check = new GigCheck();
    const { trackOf } = shelf();
    const short = setOf(entry(tracks[0]));
    let newer: Promise<void> | null = null;
    await check.make(set, booth, DECKS, async (id) => {
      newer ??= check.make(short, booth, DECKS, trackOf);
      return trackOf(id);
    });
    await newer;
    expect(check.status).toBe('done');
    expect(check.result?.card.tracks).toHaveLength(1);
  });

  it('that fails does not run for ever', async () => {
    const check = new GigCheck();
    const failing = check.make(set, booth, DECKS, () => Promise.reject(new Error('The disk is gone.')));
    await expect(failing).rejects.toThrow('The disk is gone.');
    expect(check.status).toBe('stopped');
  });
});

describe('a remedy', () => {
  const analysis = { grid: GRID, sections: [], duration: DURATION } as unknown as TrackAnalysis;
  function diskWith(record: EditRecord | null) {
    let kept = record;
    const shelf: TrackShelf = {
      tracks: [],
      analysisOf: async () => analysis,
      coverOf: async () => null,
      editOf: async () => kept,
      saveEdit: async (id, edit) => {
        kept = { ...edit, id, savedAt: 1 };
      },
    };
    return { shelf, now: () => kept };
  }
  const markers = [cue('c', beat(64), 5)];
  const before: EditRecord = { id: 't', grid: null, sections: null, markers, savedAt: 0 };

  it('is a step of the track’s own history, and is taken back as one', async () => {
    const { shelf, now } = diskWith(before);
    const undo = await mendTrack(shelf, 't', 'Give it slot 2', (track) => takeSlot(track.markers, 'c', 2));
    expect(now()?.markers).toMatchObject([{ id: 'c', slot: 2 }]);
    expect(history.undoes(history.readHistory(now()))).toBe('Give it slot 2');
    await undo!();
    expect(now()?.markers).toEqual(markers);
    expect(history.redoes(history.readHistory(now()))).toBe('Give it slot 2');
  });

  it('is not taken back over a later change, and leaves the disk alone where it changes nothing', async () => {
    const { shelf, now } = diskWith(before);
    const undo = await mendTrack(shelf, 't', 'one', (track) => takeSlot(track.markers, 'c', 2));
    await mendTrack(shelf, 't', 'two', (track) => takeSlot(track.markers, 'c', 3));
    await undo!();
    expect(now()?.markers).toMatchObject([{ slot: 3 }]);
    const saved = now();
    expect(await mendTrack(shelf, 't', 'nothing', () => null)).toBeNull();
    expect(now()).toBe(saved);
  });
});
