import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answersOf, deckFromAnswers, distanceOf } from '../../shared/gig/answers/answers.ts';
import { type DeckAnswers, type QuestionId, QUESTIONS } from '../../shared/gig/answers/questions.ts';
import { checkProfile, readProfile } from '../../shared/profile/read.ts';
import { plainProfile } from '../../shared/profile/schema.ts';
import { writeProfile } from '../../shared/profile/write.ts';
import { shippedFile } from '../profiles/files.ts';

const SHIPPED = ['wide-touch', 'small-touch', 'touch-strip', 'overview-only'].map(shippedFile);
const find = (answers: DeckAnswers, name: string | null = null) =>
  deckFromAnswers(answers, SHIPPED, [], name);

describe('an unknown deck', () => {
  it('that answers like a known one is that one', () => {
    for (const file of SHIPPED) {
      const found = find(answersOf(plainProfile(file)));
      expect(found).toEqual({ profileId: file.id, nearestId: file.id, distance: 0, file: null, changed: [] });
    }
    expect(find({ waveformScrolls: false }).profileId).toBe('overview-only');
    // Of equally near ones the poorer.
    expect(find({ waveformScrolls: true }).profileId).toBe('touch-strip');
    expect(find({}).profileId).toBe('overview-only');
  });

  it('worked by hand: four pads in two banks on a deck without touch, where cues are loaded by hand', () => {
    const answers: DeckAnswers = {
      waveformScrolls: true,
      touchScreen: false,
      cuePads: 4,
      cueBanks: 2,
      cuesComeAlong: false,
      loopButtons: 'strip',
    };
    const found = find(answers, 'The Kiln, left');
    expect(found.nearestId).toBe('touch-strip');
    // Pads: log2(5/4) of 4; banks: log2(3/2) of 2; cues that come along: all of 4.
    expect(found.distance).toBeCloseTo(4 * Math.log2(5 / 4) + 2 * Math.log2(3 / 2) + 4, 10);
    expect(found.changed.sort()).toEqual([
      'hotCues.banks',
      'hotCues.buttons',
      'hotCues.recall',
      'hotCues.recallPresses',
      'hotCues.slots',
    ]);
    const { file } = found;
    expect(file).toMatchObject({ id: 'touch-strip-copy', name: 'The Kiln, left' });
    expect(file?.facts.hotCues).toMatchObject({
      buttons: { value: 4, from: 'from memory', note: 'As answered by a person who knows the deck.' },
      banks: { value: 2, from: 'from memory' },
      slots: { value: 8, from: 'from memory' },
      recall: { value: 'by-hand', from: 'from memory' },
      recallPresses: { value: 5, from: 'from memory' },
    });
    // What was not answered keeps its value and its provenance.
    expect(file?.facts.list).toEqual(shippedFile('touch-strip').facts.list);
  });

  it('gives facts that hang on an answer a value that fits', () => {
    const known = [shippedFile('wide-touch')];
    const { file } = deckFromAnswers(
      { waveformScrolls: false, touchScreen: false, quantise: 'none' },
      known,
      [],
    );
    const made = plainProfile(file as NonNullable<typeof file>);
    expect(made.waveform).toMatchObject({
      scrolling: false,
      kinds: [],
      zoomSeconds: [],
      heightSteps: 0,
      grid: 'none',
    });
    expect(made.phase.readout).toBe('none');
    expect(made.overview.touchListen).toBe(false);
    expect(made.quantise).toEqual({ steps: [], setIn: 'none' });
    expect(() => deckFromAnswers({}, [], [])).toThrow('No deck is known');
    expect(() => deckFromAnswers({ listRows: 0 }, known, [])).toThrow('must be at least 1');
  });

  const answerTo = (id: QuestionId): fc.Arbitrary<unknown> => {
    const question = QUESTIONS.find((q) => q.id === id);
    if (!question) throw new Error(id);
    return question.input === 'number'
      ? fc.integer({ min: question.min, max: question.max })
      : fc.constantFrom(...question.choices.map(({ value }) => value));
  };
  const ids = Object.keys(answersOf(plainProfile(SHIPPED[0]))) as QuestionId[];
  const answersArbitrary = fc.record(
    Object.fromEntries(ids.map((id) => [id, fc.option(answerTo(id))])),
  ) as fc.Arbitrary<DeckAnswers>;

  it('every question is asked once', () => {
    expect(QUESTIONS.map(({ id }) => id).sort()).toEqual([...ids].sort());
  });

  it('whatever is answered, the profile fits together, answers alike, and can be written and read', () => {
    fc.assert(
      fc.property(answersArbitrary, (answers) => {
        const { file, distance, nearestId, profileId } = find(answers);
        for (const other of SHIPPED) {
          expect(distance).toBeLessThanOrEqual(distanceOf(answers, plainProfile(other)));
        }
        if (!file) {
          expect([distance, profileId]).toEqual([0, nearestId]);
          return;
        }
        expect(checkProfile(file)).toHaveProperty('profile');
        expect(readProfile(writeProfile(file), 'x.json')).toMatchObject({ ok: true });
        expect(SHIPPED.map(({ id }) => id)).not.toContain(file.id);
        const is = answersOf(plainProfile(file));
        for (const id of ids) {
          const answer = answers[id];
          if (answer === null || answer === undefined) continue;
          // Two answers that exclude each other: nothing scrolls, and no page of a screen without touch.
          if (id === 'waveformColour' && answers.waveformScrolls === false) continue;
          if (id === 'beatJump' && answer === 'screen' && answers.touchScreen === false) continue;
          expect([id, is[id]]).toEqual([id, answer]);
        }
      }),
      { numRuns: 120 },
    );
  });
});
