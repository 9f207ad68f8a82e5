/** A browser of its own whose power can be cut: its processes are killed with no chance to tidy up. */
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Browser, type Page } from '@playwright/test';
import { chromiumPath } from '../../tests/setup/system.ts';

export interface PoweredBrowser {
  page: Page;
  /** Kills every process of the browser at once. Resolves when they are gone. */
  cut(): Promise<void>;
}

/** The folder that a browser keeps its storage in, over cuts. */
export async function browserFolder(): Promise<{ path: string; remove(): Promise<void> }> {
  const path = await mkdtemp(join(tmpdir(), 'boothproof-power-'));
  return { path, remove: () => rm(path, { recursive: true, force: true, maxRetries: 5 }) };
}

/** Starts a browser on `folder`, as it was left there. */
export async function powerOn(folder: string): Promise<PoweredBrowser> {
  const portFile = join(folder, 'DevToolsActivePort');
  await rm(portFile, { force: true });
  const child: ChildProcess = spawn(
    chromiumPath() ?? chromium.executablePath(),
    [
      '--headless=new',
      '--no-sandbox',
      '--disable-background-networking',
      '--disable-component-update',
      '--no-first-run',
      '--remote-debugging-port=0',
      `--user-data-dir=${folder}`,
      'about:blank',
    ],
    // A process group of its own: all of it is killed at once.
    { stdio: 'ignore', detached: true },
  );
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  const browser = await connected(portFile);
  const [context] = browser.contexts();
  const page = context.pages()[0] ?? (await context.newPage());
  await page.setViewportSize({ width: 1440, height: 900 });
  return {
    page,
    async cut() {
      process.kill(-child.pid!, 'SIGKILL');
      await gone;
      await browser.close().catch(() => undefined);
    },
  };
}

/** The port stands in a file as soon as the browser listens. */
async function connected(portFile: string): Promise<Browser> {
  for (let turn = 0; turn < 300; turn++) {
    const port = (await readFile(portFile, 'utf8').catch(() => '')).split('\n')[0];
    if (port) return chromium.connectOverCDP(`http://127.0.0.1:${port}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error('The browser did not start in 30 s.');
}
