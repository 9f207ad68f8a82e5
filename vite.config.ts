import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('./src'),
  // The rendered demo set is served as static files; it is made by `npm run demo` and never committed.
  publicDir: here('./.cache/public'),
  cacheDir: here('./.cache/vite'),
  plugins: [svelte({ configFile: false })],
  worker: { format: 'es' },
  build: { outDir: here('./.build'), emptyOutDir: true, target: 'es2023', sourcemap: true },
  preview: { host: '127.0.0.1', strictPort: true },
  test: {
    root: here('./'),
    include: ['tests/**/*.test.ts'],
    environment: 'node',
    setupFiles: ['tests/setup/properties.ts'],
    testTimeout: 120_000,
    hookTimeout: 300_000,
  },
});
