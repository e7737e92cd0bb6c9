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
  // The program lets no page of another origin change anything, so the proxy speaks as its own page.
  server: { proxy: { '/api': { target: program, changeOrigin: true, headers: { origin: program } } } },
  build: {
    target: 'es2023',
    // Fonts stay files: the content security policy allows no data: addresses.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 800,
    rolldownOptions: {
      output: {
        assetFileNames: ({ names }) =>
          names.some((name) => name.startsWith('LICENSE'))
            ? 'assets/licence-[hash].txt'
            : 'assets/[name]-[hash][extname]',
      },
    },
  },
  // Plain functions need no page; the few tests that do ask for happy-dom in their first line.
  test: { environment: 'node', include: ['src/**/*.test.ts'] },
});
