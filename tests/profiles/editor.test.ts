/** The editor and the list as first rendered: every fact has a labelled control, every profile its actions. */
import { render } from 'svelte/server';
import { describe, expect, it } from 'vitest';
import { factFields } from '../../shared/profile/facts.ts';
import { paletteWords } from '../../shared/profile/words.ts';
import { factLabel } from '../../src/profiles/draft.ts';
import ProfileEditor from '../../src/profiles/ProfileEditor.svelte';
import ProfileList from '../../src/profiles/ProfileList.svelte';
import { shippedFile } from './files.ts';

const ignore = () => undefined;
const escaped = (text: string) =>
  text.replaceAll('&', '&amp;').replaceAll('"', '&quot;').replaceAll('<', '&lt;');

describe('the editor', () => {
  const { body } = render(ProfileEditor, {
    props: { profile: shippedFile('small-touch'), onsave: ignore, onclose: ignore },
  });

  it('has a field with a label for every fact and colour, each once', () => {
    const ids = [...body.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const field of factFields) {
      expect(ids).toContain(`field-${field.group}-${field.name}`);
      expect(body).toContain(escaped(factLabel(field)));
    }
    for (const [role, label] of Object.entries(paletteWords)) {
      expect(ids).toContain(`field-palette-${role}`);
      expect(body).toContain(`aria-label="${label}"`);
    }
    const provenances = body.match(/>Where it comes from</g) ?? [];
    expect(provenances).toHaveLength(factFields.length);
  });

  it('finds nothing wrong with a shipped profile', () => {
    expect(body).toContain('Everything fits.');
    expect(body).not.toContain('aria-invalid="true"');
  });
});

describe('the list', () => {
  it('offers editing and deleting for own profiles alone', () => {
    const own = { ...shippedFile('small-touch'), id: 'cellar', name: 'Cellar' };
    const { body } = render(ProfileList, {
      props: {
        profiles: [shippedFile('wide-touch'), own],
        shippedIds: ['wide-touch'],
        onsave: ignore,
        ondelete: ignore,
      },
    });
    for (const name of ['Wide touch', 'Cellar']) {
      expect(body).toContain(`aria-label="Duplicate: ${name}"`);
      expect(body).toContain(`aria-label="Save to a file: ${name}"`);
    }
    expect(body.match(/aria-label="(Edit|Delete): [^"]+"/g)).toEqual([
      'aria-label="Edit: Cellar"',
      'aria-label="Delete: Cellar"',
    ]);
  });
});
