/** The built app served by a server of its own, which can be given a newer version and be switched off. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from '@playwright/test';
import { preview, type PreviewServer } from 'vite';

const BUILD = fileURLToPath(new URL('../../.build/', import.meta.url));

export interface Versions {
  url: string;
  /** From now on another version of the page and its service worker is served. */
  publish(title: string): void;
  close(): Promise<void>;
}

/** Serves a copy of the build with the same headers, so that other tests do not meet the newer version. */
export async function serveVersions(): Promise<Versions> {
  const folder = mkdtempSync(join(tmpdir(), 'boothproof-versions-'));
  cpSync(BUILD, folder, { recursive: true, filter: (path) => !/\.(map|wav)$/.test(path) });
  const server: PreviewServer = await preview({
    configFile: fileURLToPath(new URL('../../vite.config.ts', import.meta.url)),
    build: { outDir: folder },
    preview: { port: 0, strictPort: false },
    logLevel: 'error',
  });
  const page = readFileSync(join(folder, 'index.html'), 'utf8');
  const worker = readFileSync(join(folder, 'sw.js'), 'utf8');
  const revision = /url:[`'"]index\.html[`'"],revision:[`'"]([0-9a-f]{16})[`'"]/.exec(worker)![1];
  return {
    url: server.resolvedUrls!.local[0].replace('localhost', '127.0.0.1').replace(/\/$/, ''),
    publish(title) {
      writeFileSync(
        join(folder, 'index.html'),
        page.replace(/<title>.*<\/title>/, `<title>${title}</title>`),
      );
      const next = [...title]
        .reduce((sum, c) => (sum * 31 + c.charCodeAt(0)) >>> 0, 7)
        .toString(16)
        .padStart(16, '0');
      writeFileSync(join(folder, 'sw.js'), worker.replaceAll(revision, next));
    },
    async close() {
      await server.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Waits until the service worker is installed and serves this page. */
export const installed = (page: Page) =>
  page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    if (navigator.serviceWorker.controller) return;
    await new Promise((resolve) => navigator.serviceWorker.addEventListener('controllerchange', resolve));
  });

/** Another version of the service worker is installed, and waits: to the browser another address is another one. */
export async function bringNewVersion(page: Page): Promise<void> {
  await installed(page);
  await page.evaluate(async () => {
    await navigator.serviceWorker.register('sw.js?newer');
  });
}
