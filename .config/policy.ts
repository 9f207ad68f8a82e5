/**
 * What the built page may do, as a Content-Security-Policy (W3C CSP Level 3): nothing, but what is named here. It is
 * written into the page when it is built and sent as a header by the preview; whoever serves the build elsewhere
 * finds both in SECURITY.md.
 */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Plugin } from 'vite';
import { CREATED_HEIGHT } from '../src/ladder/created-height.ts';

/**
 * The style sheet that wavesurfer.js writes into the shadow tree of every strip, from the package as it is installed.
 * @throws Error when it is not where it was: the policy must then be thought over anew
 */
export function wavesurferStyles(): string {
  const renderer = createRequire(import.meta.url)
    .resolve('wavesurfer.js')
    .replace(/[^/\\]+$/, 'renderer.js');
  const found = /<style\$\{cspNonce[^>]*>([\s\S]*?)<\/style>/.exec(readFileSync(renderer, 'utf8'))?.[1];
  const height = /\$\{this\.getHeight\([^}]*\)\}/g;
  if (found?.match(height)?.length !== 1 || found.replace(height, '').includes('${')) {
    throw new Error('The style sheet of wavesurfer.js is not where it was: see .config/policy.ts.');
  }
  return found.replace(height, String(CREATED_HEIGHT));
}

const sha256 = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** Directive → sources. */
export function directives(): Record<string, string[]> {
  return {
    'default-src': ["'none'"],
    // The decoders of MP3, Vorbis and Opus, the hash and the filters are WebAssembly.
    'script-src': ["'self'", "'wasm-unsafe-eval'"],
    'worker-src': ["'self'"],
    'style-src': ["'self'", sha256(wavesurferStyles())],
    // blob: covers of tracks; sound that the person gave.
    'img-src': ["'self'", 'blob:'],
    'media-src': ["'self'", 'blob:'],
    // The demo set.
    'connect-src': ["'self'"],
    'manifest-src': ["'self'"],
    'base-uri': ["'none'"],
    'form-action': ["'none'"],
  };
}

const written = (rules: Record<string, string[]>) =>
  Object.entries(rules)
    .map(([name, sources]) => `${name} ${sources.join(' ')}`)
    .join('; ');

/** For the page itself. */
export const pagePolicy = (): string => written(directives());

/** For a server: the same, and what only a header can say. */
export const headers = (): Record<string, string> => ({
  'Content-Security-Policy': written({ ...directives(), 'frame-ancestors': ["'none'"] }),
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), microphone=(), geolocation=(), payment=(), usb=()',
});

/** Writes the policy into the page, before anything that it rules. While developing there is none. */
export function policy(): Plugin {
  return {
    name: 'boothproof-policy',
    apply: 'build',
    transformIndexHtml: () => [
      {
        tag: 'meta',
        attrs: { 'http-equiv': 'Content-Security-Policy', content: pagePolicy() },
        injectTo: 'head-prepend',
      },
    ],
  };
}
