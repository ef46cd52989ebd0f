import { svelte } from '@sveltejs/vite-plugin-svelte';
import { gzipSync } from 'node:zlib';
import { defineConfig } from 'vitest/config';
import type { Plugin } from 'vite';

// The service sends NAME.gz beside NAME to whoever takes it; packing once here costs the shop computer nothing.
const packed: Plugin = {
  name: 'packed',
  apply: 'build',
  enforce: 'post',
  generateBundle(_, bundle) {
    for (const file of Object.values(bundle)) {
      if (!/\.(js|css)$/.test(file.fileName)) continue;
      const source = gzipSync(file.type === 'chunk' ? file.code : file.source, { level: 9 });
      this.emitFile({ type: 'asset', fileName: `${file.fileName}.gz`, source });
    }
  },
};

export default defineConfig({
  base: './',
  plugins: [svelte(), packed],
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
