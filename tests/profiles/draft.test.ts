/** Editing a profile: what the editor does with what a person types, without a page. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factFields } from '../../shared/profile/facts.ts';
import { choiceWords } from '../../shared/profile/words.ts';
import {
  checkDraft,
  choiceLabel,
  draftOf,
  factLabel,
  moved,
  placeLabel,
  readNumbers,
  toggled,
  valueInWords,
  withFreeId,
  writeNumbers,
} from '../../src/profiles/draft.ts';
import { shippedFile } from './files.ts';

describe('a draft', () => {
  it('is a copy, and gives back the profile when nothing was changed', () => {
    const file = shippedFile('small-touch');
    const draft = draftOf(file);
    draft.facts.hotCues.slots.value = 4;
    expect(file).toEqual(shippedFile('small-touch'));
    expect(checkDraft(draftOf(file))).toMatchObject({ profile: file });
    expect(checkDraft(draft).profile?.facts.hotCues.slots.value).toBe(4);
  });

  it('says what is wrong at each field, and cannot be saved then', () => {
    const draft = draftOf(shippedFile('small-touch'));
    draft.facts.hotCues.slots.value = 99;
    draft.facts.hotCues.banks.value = undefined;
    draft.facts.waveform.zoomSeconds.value = readNumbers('4, x');
    draft.palette.bass = 'crimson';
    draft.richness = undefined;
    const { profile, problems } = checkDraft(draft);
    expect(profile).toBeNull();
    expect(problems.all).toHaveLength(5);
    expect(problems.at('facts', 'hotCues', 'slots').map((p) => p.sentence)).toEqual([
      'is 99; it must be at most 16',
    ]);
    expect(problems.at('facts', 'hotCues', 'banks')[0].sentence).toBe('is missing; it must be given');
    expect(problems.at('facts', 'waveform', 'zoomSeconds')[0].sentence).toBe('is "x"; it must be a number');
    expect(problems.at('palette', 'bass')).toHaveLength(1);
    expect(problems.at('richness')).toHaveLength(1);
    expect(problems.at('facts', 'screen')).toEqual([]);
    expect(problems.all.map((p) => placeLabel(p.path))).toEqual([
      'Place on the ladder (larger is richer)',
      'Scrolling waveform, Seconds on screen at each zoom stop, nearest first → entry 2',
      'Hot cues, Slots',
      'Hot cues, Banks',
      'Colours, Bass',
    ]);
  });

  it('says at its field which rule between facts is broken', () => {
    const draft = draftOf(shippedFile('small-touch'));
    draft.facts.hotCues.banks.value = 1;
    const { problems } = checkDraft(draft);
    expect(problems.at('facts', 'hotCues', 'slots')).toEqual(problems.all);
    expect(problems.all).toHaveLength(1);
  });

  it('drops notes that were left empty', () => {
    const draft = draftOf(shippedFile('small-touch'));
    draft.facts.screen.rows.note = ' ';
    draft.facts.screen.columns.note = 'measured';
    const facts = checkDraft(draft).profile?.facts.screen;
    expect(facts?.rows).toEqual({ value: 480, from: 'estimate' });
    expect(facts?.columns.note).toBe('measured');
  });
});

describe('lists of numbers', () => {
  it.each([
    ['4, 8, 16', [4, 8, 16]],
    ['4,8;16  32', [4, 8, 16, 32]],
    ['.5, 1.', [0.5, 1]],
    ['', []],
    [' , ', []],
    ['4, 1e3, NaN, 0x10', [4, '1e3', 'NaN', '0x10']],
    ['-2', [-2]],
  ])('%j is read as %j', (text, numbers) => {
    expect(readNumbers(text)).toEqual(numbers);
  });

  it('come back as they were written', () => {
    const plain = fc.integer({ min: 1, max: 600_000 }).map((n) => n / 1000);
    fc.assert(
      fc.property(fc.array(plain), (numbers) => {
        expect(readNumbers(writeNumbers(numbers))).toEqual(numbers);
      }),
    );
  });
});

describe('lists of choices', () => {
  it('keep the order of the others', () => {
    expect(toggled(['single', 'tint'], 'three-band', true)).toEqual(['single', 'tint', 'three-band']);
    expect(toggled(['single', 'tint'], 'single', false)).toEqual(['tint']);
    expect(toggled(['single', 'tint'], 'tint', true)).toEqual(['single', 'tint']);
    expect(moved(['single', 'tint'], 'tint')).toEqual(['tint', 'single']);
    expect(moved(['single', 'tint'], 'single')).toEqual(['single', 'tint']);
    expect(moved(['single'], 'tint')).toEqual(['single']);
  });
});

describe('facts in words', () => {
  it('every fact has a label of its own group, and every choice a word', () => {
    const fields = factFields.map((field) => `${field.group}: ${factLabel(field)}`);
    expect(new Set(fields).size).toBe(factFields.length);
    for (const { input } of factFields) {
      if (input.type !== 'choice' && input.type !== 'choices') continue;
      for (const choice of input.choices) {
        expect(Object.keys(choiceWords)).toContain(choice);
        expect(choiceLabel(choice).length).toBeGreaterThan(1);
      }
    }
  });

  it('every shipped value can be put in: its input takes it', () => {
    for (const id of ['wide-touch', 'small-touch', 'touch-strip', 'overview-only']) {
      const facts = draftOf(shippedFile(id)).facts;
      for (const { group, name, input } of factFields) {
        const { value } = facts[group][name];
        if (input.type === 'boolean') expect(typeof value).toBe('boolean');
        else if (input.type === 'choice') expect(input.choices).toContain(value);
        else if (input.type === 'choices')
          expect(input.choices).toEqual(expect.arrayContaining(value as string[]));
        else if (input.type === 'numbers') expect(readNumbers(writeNumbers(value))).toEqual(value);
        else expect((value as number) >= input.min && (value as number) <= input.max).toBe(true);
      }
    }
  });

  it('values are told in words', () => {
    expect(valueInWords(true)).toBe('Yes');
    expect(valueInWords([])).toBe('none');
    expect(valueInWords([4, 8])).toBe('4, 8');
    expect(valueInWords(['mp3', 'vorbis'])).toBe('MP3, Ogg Vorbis');
    expect(valueInWords('loop-saves-set')).toBe('A loop saves the set');
  });
});

describe('a loaded profile', () => {
  it('keeps its id where that is free, and becomes a copy where not', () => {
    const file = shippedFile('small-touch');
    expect(withFreeId(file, ['wide-touch'])).toBe(file);
    expect(withFreeId(file, ['small-touch']).id).toBe('small-touch-copy');
  });
});
