/** Makes the built page an app that can be installed and works without a network: manifest, icons, service worker. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { build, type Plugin, type Rolldown } from 'vite';
import { AUDIO_TYPES } from '../src/library/audio-types.ts';
import { words } from '../src/words.ts';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const ICONS = here('../src/offline/icons/');
const MANIFEST = 'app.webmanifest';
const WORKER = 'sw.js';
/** The dark booth's paper (`src/tokens.css`). */
const GROUND = '#1d1814';

/** Web Application Manifest (https://www.w3.org/TR/appmanifest/); places are relative to it. */
export function manifest(): Record<string, unknown> {
  const icon = (name: string, size: number, purpose: string) => ({
    src: `icons/${name}.png`,
    sizes: `${size}x${size}`,
    type: 'image/png',
    purpose,
  });
  return {
    id: './',
    name: words.title,
    short_name: words.title,
    description: words.strapline,
    lang: 'en',
    dir: 'ltr',
    start_url: './',
    scope: './',
    display: 'standalone',
    background_color: GROUND,
    theme_color: GROUND,
    categories: ['music', 'utilities'],
    icons: [
      icon('icon-192', 192, 'any'),
      icon('icon-512', 512, 'any'),
      icon('icon-maskable-512', 512, 'maskable'),
    ],
    file_handlers: [{ action: './', accept: AUDIO_TYPES, launch_type: 'single-client' }],
    // A window that is open takes the files; it is not loaded anew under the person's hands.
    launch_handler: { client_mode: 'focus-existing' },
  };
}

interface Part {
  fileName: string;
  content: string | Uint8Array;
}

/** What the service worker keeps: all of the app but maps of its sources. A hash in the name needs no revision. */
export function precache(parts: readonly Part[]): { url: string; revision: string | null }[] {
  return parts
    .filter(({ fileName }) => !fileName.endsWith('.map'))
    .map(({ fileName, content }) => ({
      url: fileName,
      revision: fileName.startsWith('assets/')
        ? null
        : createHash('sha256').update(content).digest('hex').slice(0, 16),
    }))
    .sort((a, b) => (a.url < b.url ? -1 : 1));
}

const partOf = (file: Rolldown.OutputAsset | Rolldown.OutputChunk): Part => ({
  fileName: file.fileName,
  content: file.type === 'chunk' ? file.code : file.source,
});

/** The service worker as one script, which older browsers need. */
async function workerCode(list: unknown): Promise<string> {
  const result = (await build({
    configFile: false,
    publicDir: false,
    logLevel: 'warn',
    define: { PRECACHE: JSON.stringify(list), 'process.env.NODE_ENV': '"production"' },
    build: {
      write: false,
      target: 'es2022',
      lib: {
        entry: here('../src/offline/worker.ts'),
        formats: ['iife'],
        name: 'worker',
        fileName: () => WORKER,
      },
    },
  })) as Rolldown.RolldownOutput | Rolldown.RolldownOutput[];
  return (Array.isArray(result) ? result[0] : result).output[0].code;
}

export function offline(): Plugin {
  return {
    name: 'boothproof-offline',
    apply: 'build',
    // After the page itself has been written.
    enforce: 'post',
    transformIndexHtml: () => [
      { tag: 'link', attrs: { rel: 'manifest', href: `./${MANIFEST}` }, injectTo: 'head' },
      { tag: 'link', attrs: { rel: 'apple-touch-icon', href: './icons/icon-192.png' }, injectTo: 'head' },
      { tag: 'meta', attrs: { name: 'theme-color', content: GROUND }, injectTo: 'head' },
    ],
    generateBundle: {
      order: 'post',
      async handler(_options, bundle) {
        const own: Part[] = [
          ...readdirSync(ICONS).map((name) => ({
            fileName: `icons/${name}`,
            content: readFileSync(`${ICONS}${name}`),
          })),
          { fileName: MANIFEST, content: JSON.stringify(manifest(), null, 1) },
        ];
        const list = precache([...Object.values(bundle).map(partOf), ...own]);
        if (!list.some(({ url }) => url === 'index.html'))
          this.error('The page is not among the files of the build.');
        const worker = { fileName: WORKER, content: await workerCode(list) };
        for (const { fileName, content } of [...own, worker]) {
          this.emitFile({ type: 'asset', fileName, source: content });
        }
      },
    },
  };
}
