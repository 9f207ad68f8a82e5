/** The page's policy and the habits in the sources that it rests on. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { directives, headers, pagePolicy, wavesurferStyles } from '../../.config/policy.ts';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const sources = ['src', 'workers', 'shared'].flatMap((folder) =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|svelte|html)$/.test(name))
    .map((name) => ({ path: `${folder}/${name}`, text: readFileSync(join(ROOT, folder, name), 'utf8') })),
);

/** Files in which `pattern` stands, without those that may have it. */
const having = (pattern: RegExp, but: string[] = []) =>
  sources.filter(({ path, text }) => pattern.test(text) && !but.includes(path)).map(({ path }) => path);

describe('the policy', () => {
  it('forbids everything that it does not name, and names no inline script or style and no other origin', () => {
    const policy = pagePolicy();
    expect(policy).toMatch(/^default-src 'none';/);
    expect(policy).not.toMatch(/unsafe-inline|'unsafe-eval'|'unsafe-hashes'|data:|https?:|\*/);
    const { 'style-src': styles, ...others } = directives();
    expect(styles).toHaveLength(2);
    expect(styles[1]).toMatch(/^'sha256-[A-Za-z0-9+/]{43}='$/);
    for (const [name, allowed] of Object.entries(others)) {
      for (const source of allowed) {
        expect(["'none'", "'self'", 'blob:', "'wasm-unsafe-eval'"], name).toContain(source);
      }
    }
    expect(headers()['Content-Security-Policy']).toBe(`${policy}; frame-ancestors 'none'`);
  });

  it('knows the one style sheet that wavesurfer.js writes', () => {
    expect(wavesurferStyles()).toContain('min-height: 1px;');
    expect(wavesurferStyles()).toContain(':host canvas');
  });
});

describe('no source', () => {
  it('reads the sources', () => expect(sources.length).toBeGreaterThan(300));

  it('makes markup of text but the booth card, which escapes', () => {
    // The saved page writes its own style; reading a fault of JSON and the like is no markup.
    expect(having(/\{@html\b/)).toEqual(['src/gig/card/BoothCard.svelte']);
    expect(having(/\.(innerHTML|outerHTML)\b|insertAdjacentHTML|document\.write|srcdoc|DOMParser/)).toEqual(
      [],
    );
  });

  it('makes code of text', () => {
    expect(
      having(/\beval\(|new Function\(|set(Timeout|Interval)\(\s*['"`]|importScripts|javascript:/),
    ).toEqual([]);
  });

  it('writes a style or a handler into an element', () => {
    expect(having(/\sstyle=["'{]|setAttribute\(['"]style|createElement\(['"]style/)).toEqual([]);
    expect(having(/<[a-z][^>]*\son[a-z]+="(?!\{)/i)).toEqual([]);
  });

  it('names another origin to ask', () => {
    expect(having(/(fetch|import|Worker|WebSocket|EventSource|sendBeacon)\(\s*['"`](https?:)?\/\//)).toEqual(
      [],
    );
    expect(having(/(src|href|action)=["'](https?:)?\/\//)).toEqual([]);
  });
});
