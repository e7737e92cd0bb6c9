import { svelte } from '@sveltejs/vite-plugin-svelte';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

// The program serves the built pages itself. While developing, /api goes to a running `creance`.
const program = process.env.CREANCE_URL ?? 'http://127.0.0.1:8971';

export default defineConfig({
  plugins: [svelte()],
  resolve: {
    alias: { $lib: fileURLToPath(new URL('./src/lib', import.meta.url)) },
    // Without it the test run picks Svelte's server build, which has no mount().
    conditions: ['browser'],
  },
  server: { proxy: { '/api': { target: program, changeOrigin: true } } },
  build: {
    target: 'es2023',
    // Fonts stay files: the content security policy allows no data: addresses.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 800,
  },
  test: { environment: 'happy-dom', include: ['src/**/*.test.ts'] },
});
