import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  base: './',
  plugins: [svelte()],
  build: {
    target: 'es2022',
    // The page's policy is default-src 'self': nothing may hide in a data: address.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    // three alone is above the default warning size; it loads only with a reading.
    chunkSizeWarningLimit: 800,
  },
  test: { include: ['src/**/*.test.ts'], environment: 'node' },
});
