/** The rules between facts: each is broken once, and the shipped profiles break none. */
import { describe, expect, it } from 'vitest';
import { readProfile } from '../../shared/profile/read.ts';
import { inconsistencies } from '../../shared/profile/rules.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';
import { shippedFile } from './files.ts';

type Facts = ProfileFile['facts'];

/** [what is wrong, profile, change, place of each problem] */
const BROKEN: [string, string, (facts: Facts) => void, string[]][] = [
  ['scrolls without kinds', 'small-touch', (f) => (f.waveform.kinds.value = []), ['waveform.kinds']],
  [
    'scrolls without zooms',
    'small-touch',
    (f) => (f.waveform.zoomSeconds.value = []),
    ['waveform.zoomSeconds'],
  ],
  [
    'scrolls without heights',
    'small-touch',
    (f) => (f.waveform.heightSteps.value = 0),
    ['waveform.heightSteps'],
  ],
  [
    'does not scroll but has all that belongs to it',
    'wide-touch',
    (f) => (f.waveform.scrolling.value = false),
    ['waveform.kinds', 'waveform.zoomSeconds', 'waveform.grid', 'phase.readout'],
  ],
  ['one kind twice', 'small-touch', (f) => (f.waveform.kinds.value = ['tint', 'tint']), ['waveform.kinds']],
  [
    'zooms out of order',
    'small-touch',
    (f) => (f.waveform.zoomSeconds.value = [8, 4]),
    ['waveform.zoomSeconds'],
  ],
  ['one zoom twice', 'small-touch', (f) => (f.waveform.zoomSeconds.value = [4, 4]), ['waveform.zoomSeconds']],
  ['a grid nowhere', 'small-touch', (f) => (f.waveform.gridPlace.value = 'nowhere'), ['waveform.gridPlace']],
  ['no grid somewhere', 'small-touch', (f) => (f.waveform.grid.value = 'none'), ['waveform.gridPlace']],
  [
    'an overview wider than the screen',
    'small-touch',
    (f) => (f.overview.columns.value = 801),
    ['overview.columns'],
  ],
  [
    'more heights than rows',
    'overview-only',
    (f) => (f.overview.heightSteps.value = 97),
    ['overview.heightSteps'],
  ],
  [
    'a waveform higher than the screen',
    'small-touch',
    (f) => (f.waveform.heightSteps.value = 500),
    ['waveform.heightSteps'],
  ],
  [
    'more list rows than rows',
    'small-touch',
    (f) => (f.screen.rows.value = 7),
    ['waveform.heightSteps', 'overview.heightSteps', 'list.rows'],
  ],
  [
    'touch without a touch screen',
    'wide-touch',
    (f) => (f.screen.touch.value = false),
    ['overview.touchListen', 'list.preview'],
  ],
  [
    'a jump on a screen without touch',
    'small-touch',
    (f) => (f.screen.touch.value = false),
    ['beatJump.where'],
  ],
  ['more cues than buttons', 'small-touch', (f) => (f.hotCues.banks.value = 1), ['hotCues.slots']],
  [
    'recall by hand without presses',
    'overview-only',
    (f) => (f.hotCues.recallPresses.value = 0),
    ['hotCues.recallPresses'],
  ],
  [
    'presses without recall by hand',
    'wide-touch',
    (f) => (f.hotCues.recallPresses.value = 5),
    ['hotCues.recallPresses'],
  ],
  ['marks shown but none', 'wide-touch', (f) => (f.marks.limit.value = 0), ['marks.limit']],
  ['marks hidden but some', 'wide-touch', (f) => (f.marks.shown.value = false), ['marks.limit']],
  ['quantise without steps', 'wide-touch', (f) => (f.quantise.steps.value = []), ['quantise.setIn']],
  ['steps without quantise', 'wide-touch', (f) => (f.quantise.setIn.value = 'none'), ['quantise.setIn']],
  ['steps out of order', 'wide-touch', (f) => (f.quantise.steps.value = [1, 0.5]), ['quantise.steps']],
  ['loops without lengths', 'wide-touch', (f) => (f.loops.direct.value = []), ['loops.method']],
  ['lengths without loops', 'wide-touch', (f) => (f.loops.method.value = 'none'), ['loops.method']],
  ['lengths out of order', 'wide-touch', (f) => (f.loops.direct.value = [8, 4]), ['loops.direct']],
  [
    'loops on a strip that is not there',
    'touch-strip',
    (f) => (f.playback.touchStrip.value = false),
    ['loops.method'],
  ],
  ['jumps without lengths', 'wide-touch', (f) => (f.beatJump.lengths.value = []), ['beatJump.where']],
  [
    'jump lengths out of order',
    'wide-touch',
    (f) => (f.beatJump.lengths.value = [4, 1]),
    ['beatJump.lengths'],
  ],
  [
    'slip reverse without slip',
    'small-touch',
    (f) => (f.playback.slip.value = false),
    ['playback.slipReverse'],
  ],
  [
    'tempo ranges out of order',
    'small-touch',
    (f) => (f.playback.tempoRangesPercent.value = [16, 8]),
    ['playback.tempoRangesPercent'],
  ],
  ['one format twice', 'small-touch', (f) => (f.media.formats.value = ['mp3', 'mp3']), ['media.formats']],
];

describe('rules between facts', () => {
  it.each(BROKEN)('%s is found', (_, id, change, places) => {
    const file = shippedFile(id);
    change(file.facts);
    const found = inconsistencies(file);
    expect(found.map((p) => p.path.slice(1, 3).join('.')).sort()).toEqual([...places].sort());
    for (const { path, sentence } of found) {
      expect([path[0], path[3]]).toEqual(['facts', 'value']);
      expect(sentence).toMatch(/must|name at least|give at least|choose/);
    }
    expect(readProfile(file, 'x').ok).toBe(false);
  });

  it.each(['wide-touch', 'small-touch', 'touch-strip', 'overview-only'])('%s breaks none', (id) => {
    expect(inconsistencies(shippedFile(id))).toEqual([]);
  });
});
