/** The four shipped profiles against the list of facts in the project's second issue (common practice, no source). */
import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { readProfile } from '../../shared/profile/read.ts';
import { PROVENANCES } from '../../shared/profile/schema.ts';
import type { Sourced } from '../../shared/profile/schema.ts';
import { writeProfile } from '../../shared/profile/write.ts';
import { shippedProfiles } from '../../src/profiles/shipped.ts';
import { shippedDeck, shippedFile, shippedNames, shippedText } from './files.ts';
import { publishedSchema, schemaText } from './json-schema.ts';

const IDS = ['wide-touch', 'small-touch', 'touch-strip', 'overview-only'];

describe('the shipped profiles', () => {
  it('are four, each named like its file, and the app loads them richest first', () => {
    expect(shippedNames.sort()).toEqual(IDS.map((id) => `${id}.json`).sort());
    expect(shippedProfiles.map((p) => p.id)).toEqual(IDS);
    expect(shippedProfiles).toEqual(IDS.map(shippedFile));
  });

  it.each(IDS)('%s is valid, and written as the app would write it', (id) => {
    const text = shippedText(`${id}.json`);
    expect(readProfile(text, id)).toMatchObject({ ok: true });
    expect(writeProfile(shippedFile(id))).toBe(text);
  });

  it.each(IDS)('%s says of every fact where it comes from', (id) => {
    const facts = Object.values(shippedFile(id).facts).flatMap((group) => Object.values(group));
    expect(facts.length).toBeGreaterThan(45);
    for (const fact of facts as Sourced<unknown>[]) expect(PROVENANCES).toContain(fact.from);
  });

  it('wide touch has what the list says of it', () => {
    const deck = shippedDeck('wide-touch');
    expect(deck.screen).toMatchObject({ diagonalInches: 9, touch: true });
    expect(deck.list).toMatchObject({ columns: 7, preview: 'touch', keyMatch: true });
    expect(deck.waveform.kinds).toEqual(['three-band', 'tint', 'single']);
    expect(deck.phase.readout).toBe('stacked-waveforms');
    expect(deck.hotCues).toMatchObject({ slots: 8, buttons: 8, colours: 'each' });
    expect(deck.beatJump.where).toBe('buttons');
    expect(deck.overview.touchListen).toBe(true);
    expect(deck.loops).toMatchObject({ direct: [4, 8], method: 'buttons', changeUnquantised: 'keeps-place' });
    expect(deck.media).toMatchObject({ discSlot: false, drivePulled: 'loop-saves-set' });
  });

  it('small touch has what the list says of it', () => {
    const deck = shippedDeck('small-touch');
    expect(deck.screen).toMatchObject({ diagonalInches: 7, touch: true });
    expect(deck.list).toMatchObject({ rows: 8, trackFilter: true });
    expect(deck.waveform.kinds.toSorted()).toEqual(['single', 'tint']);
    expect(deck.phase.readout).toBe('bar-beat-ticks');
    expect(deck.hotCues).toMatchObject({ slots: 8, banks: 2, buttons: 4 });
    expect(deck.beatJump.where).toBe('screen');
    expect(deck.loops).toMatchObject({
      direct: [4, 8],
      method: 'short-and-long-press',
      changeUnquantised: 'snaps-to-start',
    });
    expect(deck.playback).toMatchObject({ slip: true, slipReverse: true });
    expect(deck.media.formats).toEqual(expect.arrayContaining(['flac', 'alac']));
    expect(deck.media).toMatchObject({
      slowWithMetadata: true,
      driveLight: true,
      drivePulled: 'loop-saves-set',
    });
  });

  it('touch strip has what the list says of it', () => {
    const deck = shippedDeck('touch-strip');
    expect(deck.screen.touch).toBe(false);
    expect(deck.list).toMatchObject({ rows: 6, letterStrip: true, trackFilter: false });
    expect(deck.waveform.kinds.toSorted()).toEqual(['single', 'tint']);
    expect(deck.phase.readout).toBe('four-blocks');
    expect(deck.hotCues).toMatchObject({ slots: 3, colours: 'one' });
    expect(deck.loops.method).toBe('strip');
    expect(deck.beatJump.where).toBe('none');
    expect(deck.playback).toMatchObject({ touchStrip: true, slipReverse: false });
    expect(deck.media.formats).not.toContain('flac');
    expect(deck.media.formats).not.toContain('alac');
    expect(deck.media).toMatchObject({ driveLight: false, drivePulled: 'loop-saves-set' });
  });

  it('overview only has what the list says of it', () => {
    const deck = shippedDeck('overview-only');
    expect(deck.waveform).toMatchObject({ scrolling: false, kinds: [], grid: 'none', gridPlace: 'nowhere' });
    expect(deck.hotCues).toMatchObject({ slots: 3, recall: 'by-hand', recallPresses: 5 });
    expect(deck.quantise).toEqual({ steps: [1], setIn: 'menu' });
    expect(deck.loops).toMatchObject({
      direct: [4],
      method: 'halving-press',
      shortest: 'frame',
      unreliableWithQuantise: true,
    });
    expect(deck.playback).toMatchObject({ sync: false, slip: false, instantCopy: false });
    expect(deck.beatJump.where).toBe('none');
    expect(deck.media.drivePulled).toBe('music-stops');
  });
});

describe('the published JSON Schema', () => {
  it('is in step with the schema of the app', async () => {
    expect(publishedSchema()).toBe(await schemaText());
  });

  it('accepts the shipped files and refuses a changed one, by an independent validator', () => {
    const accepts = new Ajv({ allErrors: true }).compile(JSON.parse(publishedSchema()) as object);
    for (const name of shippedNames) {
      accepts(JSON.parse(shippedText(name)));
      expect(accepts.errors).toBeNull();
    }
    const file = shippedFile('wide-touch');
    file.facts.hotCues.slots.value = 17;
    expect(accepts(file)).toBe(false);
    const extra = { ...shippedFile('wide-touch'), extra: 1 };
    expect(accepts(extra)).toBe(false);
  });
});
