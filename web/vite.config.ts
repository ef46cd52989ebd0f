import { svelte } from '@sveltejs/vite-plugin-svelte';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { defineConfig } from 'vitest/config';
import type { Plugin } from 'vite';

// The service sends NAME.gz beside NAME to whoever takes it; packing once here costs the shop computer nothing. Packed from
// the files as written: Vite still fills in chunks after every plugin's generateBundle.
const packed: Plugin = {
  name: 'packed',
  apply: 'build',
  async writeBundle({ dir }, bundle) {
    for (const fileName of Object.keys(bundle).filter((name) => /\.(js|css)$/.test(name))) {
      const path = join(dir ?? 'dist', fileName);
      await writeFile(`${path}.gz`, gzipSync(await readFile(path), { level: 9 }));
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
