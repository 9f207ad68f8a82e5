import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { duplicateProfile } from '../../shared/profile/duplicate.ts';
import { readProfile } from '../../shared/profile/read.ts';
import { shippedFile } from './files.ts';

describe('a copy of a profile', () => {
  it('has an id and a name of its own and shares nothing with the first', () => {
    const file = shippedFile('small-touch');
    const copy = duplicateProfile(file, [file.id]);
    expect(copy).toEqual({ ...file, id: 'small-touch-copy', name: 'Small touch (copy)' });
    copy.facts.hotCues.slots.value = 1;
    copy.facts.waveform.zoomSeconds.value.push(64);
    expect(file).toEqual(shippedFile('small-touch'));
  });

  it('of a copy counts on', () => {
    const file = shippedFile('small-touch');
    const first = duplicateProfile(file, [file.id]);
    const second = duplicateProfile(first, [file.id, first.id]);
    expect([second.id, second.name]).toEqual(['small-touch-copy-2', 'Small touch (copy 2)']);
  });

  it('is always valid and new, however long the name and the id', () => {
    const ids = fc.stringMatching(/^[a-z0-9]{1,29}(-[a-z0-9]{1,29})?$/);
    const names = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(ids, names, fc.nat(120), (id, name, copies) => {
        const file = { ...shippedFile('wide-touch'), id, name };
        fc.pre(readProfile(file, 'x').ok);
        const taken = [id];
        for (let i = 0; i < Math.min(copies, 12); i++) taken.push(duplicateProfile(file, taken).id);
        expect(new Set(taken).size).toBe(taken.length);
        const copy = duplicateProfile(file, taken);
        expect(taken).not.toContain(copy.id);
        expect(readProfile(copy, 'x')).toEqual({ ok: true, profile: copy });
      }),
    );
  });
});
