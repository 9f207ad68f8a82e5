/** Names that every disk takes, against the rules at https://learn.microsoft.com/en-us/windows/win32/fileio/naming-a-file . */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checksumText } from '../../src/take/hashed.ts';
import { MOST_NAME_BYTES, safeName, safePath, sameName, uniquePaths } from '../../src/take/names.ts';

const wild = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 300 }),
  fc.string({ unit: 'binary', maxLength: 60 }),
  fc.string({
    unit: fc.constantFrom('.', ' ', '/', '\\', ':', 'a', 'é', '夜', '👩🏽‍🚀', '\u202e', '\0'),
    maxLength: 80,
  }),
  fc.constantFrom('con', 'NUL.txt', 'com1.tar.gz', 'LPT¹', '..', '.', '', ' ', '...', 'C:\\x', 'aux .wav'),
);

describe('a safe name', () => {
  it.each([
    ['Night Ferry – dub.wav', 'Night Ferry – dub.wav'],
    ['What? Me: "live" <1/2>.aiff', 'What- Me- -live- -1-2-.aiff'],
    ['con.wav', 'con_.wav'],
    ['LPT1', 'LPT1_'],
    ['..', 'untitled'],
    ['.hidden', 'hidden'],
    ['trailing. . ', 'trailing'],
    ['a\u202egpj.wav', 'agpj.wav'],
    ['\u2067a\u2069\u061c\u200f.wav', 'a.wav'],
    ['NUL .txt', 'NUL_.txt'],
    ['<>', '--'],
    ['\u200b', 'untitled'],
    ['...wav', 'wav'],
    ['e\u0301.wav', 'é.wav'],
    ['two\nlines', 'twolines'],
  ])('of %j is %j', (name, safe) => expect(safeName(name)).toBe(safe));

  it('keeps its ending when it is cut, and no character is cut in two', () => {
    const long = safeName(`${'👩🏽‍🚀'.repeat(90)}.aiff`);
    expect(long).toMatch(/^(👩🏽‍🚀)+\.aiff$/u);
    expect(Buffer.byteLength(long)).toBeLessThanOrEqual(MOST_NAME_BYTES);
  });

  it('obeys every rule whatever it was, and stays as it is when safe', () => {
    fc.assert(
      fc.property(wild, (name) => {
        const safe = safeName(name);
        // eslint-disable-next-line no-control-regex
        expect(safe).not.toMatch(/[<>:"/\\|?*\x00-\x1f\x7f]/);
        expect(safe).not.toMatch(/^[.\s]|[.\s]$/u);
        expect(safe).not.toMatch(/^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])\s*(\.|$)/i);
        expect(safe).not.toMatch(/\p{Cs}/u);
        expect(Buffer.byteLength(safe)).toBeGreaterThan(0);
        expect(Buffer.byteLength(safe)).toBeLessThanOrEqual(MOST_NAME_BYTES);
        expect(safeName(safe)).toBe(safe);
      }),
    );
  });
});

describe('safe paths', () => {
  it.each([
    ['../../etc/passwd', 'etc/passwd'],
    ['/a//b/./c.wav', 'a/b/c.wav'],
    ['C:\\sets\\a.wav', 'C-/sets/a.wav'],
    ['', 'untitled'],
    ['/', 'untitled'],
    ['/etc/passwd', 'etc/passwd'],
    ['\\\\server\\share\\a.wav', 'server/share/a.wav'],
    ['a/.. /.\u202e./b.wav', 'a/untitled/b.wav'],
    ['../con/aux.wav', 'con_/aux_.wav'],
    ['a/\0/b', 'a/untitled/b'],
  ])('of %j is %j', (path, safe) => expect(safePath(path)).toBe(safe));

  it('are each of their own, also where capitals and accents are the same, and again stay as they are', () => {
    expect(uniquePaths(['a/T.wav', 'a/t.wav', 'a/t.WAV', 'b/t.wav'])).toEqual([
      'a/T.wav',
      'a/t (2).wav',
      'a/t (3).WAV',
      'b/t.wav',
    ]);
    expect(uniquePaths(['x.wav'], ['X.wav'])).toEqual(['x (2).wav']);
    expect(uniquePaths(['a/b.txt', 'a'])).toEqual(['a/b.txt', 'a (2)']);
    const path = fc.array(wild, { minLength: 1, maxLength: 4 }).map((parts) => parts.join('/'));
    fc.assert(
      fc.property(fc.array(path, { maxLength: 12 }), (paths) => {
        const unique = uniquePaths(paths);
        expect(new Set(unique.map(sameName)).size).toBe(paths.length);
        for (const p of unique) {
          expect(safePath(p)).toBe(p);
          expect(p.split('/')).not.toContain('..');
          expect(p.startsWith('/')).toBe(false);
        }
        // No file stands where another one's folder stands.
        const folders = unique.flatMap((p) =>
          p
            .split('/')
            .slice(0, -1)
            .map((_, i, all) => all.slice(0, i + 1).join('/')),
        );
        for (const folder of folders) expect(unique.map(sameName)).not.toContain(sameName(folder));
      }),
    );
  });

  it('need none of the escapes of a list of checksums', () => {
    fc.assert(
      fc.property(wild, (name) => {
        const text = checksumText([{ path: safePath(name), size: 0, sha256: 'a'.repeat(64) }]);
        expect(text).toMatch(/^a{64} {2}[^\\\n]+\n$/);
      }),
    );
  });
});
