import { describe, expect, it } from 'vitest';
import { VISIBLE_CONTRAST } from '../../shared/survival/contrast.ts';
import { invisibleChanges } from '../../shared/survival/invisible.ts';
import { beat, BEAT, cue, deck, HOP, judged, mark, poor, sections, small, strip, wide } from './helpers.ts';

/** The treble comes in at beat 256, which a flat colour does not show; all of it rises at beat 512. */
const track = judged({ sections: sections(0, beat(256), beat(512)) }, (layer, i) => {
  const at = i * HOP;
  const [bass, middle, treble] =
    at < beat(256) ? [0.3, 0.3, 0.02] : at < beat(512) ? [0.3, 0.3, 0.3] : [0.8, 0.8, 0.8];
  const peak = [bass, middle, treble, at < beat(512) ? 0.4 : 0.95][layer];
  return { peak, rms: peak * 0.6 };
});

describe('changes that only a richer deck shows', () => {
  it('are found, with both numbers', () => {
    const [change, ...more] = invisibleChanges(track, poor, wide, []);
    expect(more).toEqual([]);
    expect(change).toMatchObject({ time: beat(256), label: 'drop' });
    expect(change.contrast.value).toBeLessThan(VISIBLE_CONTRAST);
    expect(change.contrastOnRichest.value).toBeGreaterThan(0.9);
  });

  it('are not there where the deck shows them, or the richest does not', () => {
    expect(invisibleChanges(track, small, wide, [])).toEqual([]);
    expect(invisibleChanges(track, wide, wide, [])).toEqual([]);
    expect(invisibleChanges(track, wide, poor, [])).toEqual([]);
  });

  it('are left alone where a marker stands within a beat', () => {
    expect(invisibleChanges(track, poor, wide, [mark('a', beat(256) + BEAT)])).toEqual([]);
    expect(invisibleChanges(track, poor, wide, [cue('a', beat(256) - BEAT, 7)])).toEqual([]);
    expect(invisibleChanges(track, poor, wide, [mark('a', beat(256) + 1.01 * BEAT)])).toHaveLength(1);
  });

  it('get a hot cue where no marks are shown, in a slot that is free there', () => {
    const proposal = (markers: Parameters<typeof invisibleChanges>[3]) =>
      invisibleChanges(track, poor, wide, markers)[0].proposal;
    expect(proposal([])).toEqual({ action: 'add-cue', time: beat(256), name: 'drop', slot: 1 });
    expect(proposal([cue('a', 1, 1), cue('b', 2, 3)])).toMatchObject({ slot: 2 });
    expect(proposal([cue('a', 1, 1), cue('b', 2, 2), cue('c', 3, 3)])).toMatchObject({ slot: null });
  });

  it('get a mark where marks are shown and one more is', () => {
    const flat = deck(strip, { waveform: { kinds: ['single'], colourSteps: 1 } });
    const proposal = (markers: Parameters<typeof invisibleChanges>[3]) =>
      invisibleChanges(track, flat, wide, markers)[0].proposal;
    expect(proposal([])).toEqual({ action: 'add-mark', time: beat(256), name: 'drop' });
    const eight = Array.from({ length: 8 }, (_, i) => mark(`m${i}`, i));
    expect(proposal(eight)).toMatchObject({ action: 'add-cue', slot: 1 });
  });
});
