/** The glossary and the explanations of decks. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deckGuide } from '../../src/guide/deck.ts';
import { gloss, searchTerms } from '../../src/guide/gloss.ts';
import { TERMS } from '../../src/guide/terms.ts';
import { words } from '../../src/guide/words.ts';
import { shippedProfiles } from '../../src/profiles/shipped.ts';
import { plainProfile, type DeckProfile } from '../../shared/profile/schema.ts';

const decks = shippedProfiles.map(plainProfile);
const deck = (id: string) => decks.find((each) => each.id === id)!;

describe('the glossary', () => {
  it('has each term once, in the order of the alphabet, with links that lead somewhere else', () => {
    const ids = TERMS.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    const names = TERMS.map(({ id }) => id);
    expect(names).toEqual([...names].sort());
    const forms = TERMS.flatMap(({ name, also = [] }) => [name, ...also].map((form) => form.toLowerCase()));
    expect(forms.filter((form, i) => forms.indexOf(form) !== i)).toEqual([]);
    for (const { id, see = [], plain } of TERMS) {
      expect(ids).toEqual(expect.arrayContaining([...see]));
      expect(see).not.toContain(id);
      expect(plain).toMatch(/^[A-Z].*\.$/);
    }
  });

  it('links a term at its first place, the longer one before the shorter one, and whole words only', () => {
    expect(gloss('A hot cue is no cue, and a loophole no loop.')).toEqual([
      { text: 'A ', term: null },
      { text: 'hot cue', term: 'hot-cue' },
      { text: ' is no cue, and a loophole no ', term: null },
      { text: 'loop', term: 'loop' },
      { text: '.', term: null },
    ]);
    expect(gloss('A loop.', 'loop')).toEqual([{ text: 'A loop.', term: null }]);
  });

  it('changes nothing of a text', () => {
    const text = fc.array(
      fc.oneof(fc.string(), fc.constantFrom(' hot cue ', 'Loops,', 'bar', ' (Grid)', 'LUFS')),
    );
    fc.assert(
      fc.property(text, (parts) => {
        const whole = parts.join('');
        expect(
          gloss(whole)
            .map((part) => part.text)
            .join(''),
        ).toBe(whole);
      }),
    );
  });

  it('is searched in names first, then in what they mean, whatever the capitals', () => {
    expect(searchTerms('  ').length).toBe(TERMS.length);
    expect(searchTerms('CUE')[0].id).toBe('hot-cue');
    expect(searchTerms('bpm').map(({ id }) => id)).toEqual(['tempo', 'beat']);
    expect(searchTerms('grid beats').map(({ id }) => id)).toContain('beat-grid');
    expect(searchTerms('no such thing')).toEqual([]);
  });
});

describe('the explanation of a deck', () => {
  const said = (profile: DeckProfile) => {
    const { shows, hides } = deckGuide(profile);
    return { shows: shows.join(' '), hides: hides.join(' ') };
  };

  it.each(decks)('$name: something is shown and something hidden, each once', (profile) => {
    const { shows, hides } = deckGuide(profile);
    const lines = [...shows, ...hides];
    expect(shows.length).toBeGreaterThan(1);
    expect(hides.length).toBeGreaterThan(0);
    expect(new Set(lines).size).toBe(lines.length);
    for (const line of lines) expect(line).toMatch(/^[A-Z0-9].*\.$/);
  });

  it('says what the profile says', () => {
    const rich = said(deck('wide-touch'));
    const poor = said(deck('overview-only'));
    expect(rich.shows).toContain(words.deck.kinds['three-band']);
    expect(rich.hides).not.toContain(words.deck.noScrolling);
    expect(poor.hides).toContain(words.deck.noScrolling);
    expect(poor.hides).toContain(words.deck.noGrid);
    expect(poor.shows).toContain(`${deck('overview-only').overview.columns} columns`);
  });

  it('changes with every fact that it tells of', () => {
    const base = deck('wide-touch');
    const changes: Partial<DeckProfile>[] = [
      { waveform: { ...base.waveform, scrolling: false, kinds: [] } },
      { waveform: { ...base.waveform, kinds: ['tint'] } },
      { waveform: { ...base.waveform, kinds: ['single'] } },
      { waveform: { ...base.waveform, grid: 'beats' } },
      { waveform: { ...base.waveform, grid: 'none' } },
      { waveform: { ...base.waveform, gridPlace: 'edge-marks' } },
      { waveform: { ...base.waveform, zoomSeconds: [5] } },
      { waveform: { ...base.waveform, heightSteps: 12 } },
      { overview: { ...base.overview, columns: 90 } },
      { overview: { ...base.overview, kind: 'plain' } },
      { phase: { readout: 'none' } },
      { hotCues: { ...base.hotCues, slots: 0 } },
      { hotCues: { ...base.hotCues, colours: 'one' } },
      { hotCues: { ...base.hotCues, recall: 'by-hand' } },
      { marks: { ...base.marks, shown: false } },
      { marks: { ...base.marks, limit: 3 } },
    ];
    for (const change of changes)
      expect(deckGuide({ ...base, ...change }), JSON.stringify(change)).not.toEqual(deckGuide(base));
  });
});
