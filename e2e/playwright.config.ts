import { defineConfig } from '@playwright/test';
import { chromiumPath } from '../tests/setup/system.ts';

const PORT = 4179;

export default defineConfig({
  testDir: '.',
  outputDir: '../.playwright/results',
  // Two cores: one browser at a time keeps the timing of playing and painting honest.
  workers: 1,
  fullyParallel: false,
  retries: 0,
  timeout: 90_000,
  // How long a check waits for what it expects; a busy machine is slow, not wrong.
  expect: { timeout: 15_000 },
  reporter: [['list'], ['json', { outputFile: '../.cache/reports/browser.json' }]],
  use: {
    baseURL: `http://127.0.0.1:${PORT}`,
    viewport: { width: 1440, height: 900 },
    launchOptions: {
      executablePath: chromiumPath() ?? undefined,
      args: [
        '--no-sandbox',
        '--disable-background-networking',
        '--disable-component-update',
        '--no-first-run',
        '--autoplay-policy=no-user-gesture-required',
      ],
    },
  },
  webServer: {
    command: `npx vite preview --port ${PORT}`,
    cwd: '..',
    url: `http://127.0.0.1:${PORT}`,
    reuseExistingServer: false,
  },
});
