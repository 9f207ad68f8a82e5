import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';
import { offline } from './.config/offline.ts';
import { headers, policy } from './.config/policy.ts';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('./src'),
  // The rendered demo set is served as static files; it is made by `npm run demo` and never committed.
  publicDir: here('./.cache/public'),
  cacheDir: here('./.cache/vite'),
  plugins: [svelte({ configFile: false }), policy(), offline()],
  worker: { format: 'es' },
  build: {
    outDir: here('./.build'),
    emptyOutDir: true,
    target: 'es2023',
    sourcemap: true,
    // Nothing is written into the page or the styles as data: the policy would not take it.
    assetsInlineLimit: 0,
  },
  preview: { host: '127.0.0.1', strictPort: true, headers: headers() },
  test: {
    root: here('./'),
    include: ['tests/**/*.test.ts'],
    environment: 'node',
    setupFiles: ['tests/setup/properties.ts'],
    // By default one core is left free, which on two cores is half of them.
    maxWorkers: '100%',
    testTimeout: 120_000,
    hookTimeout: 300_000,
  },
});
