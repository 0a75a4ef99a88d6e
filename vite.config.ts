import { defineConfig } from 'vite';
import solid from 'vite-plugin-solid';

export default defineConfig({
  // Relative addresses: the built app works from any static host and from a sub-path.
  base: './',
  plugins: [solid()],
  build: { target: 'es2022', sourcemap: false },
  worker: { format: 'es' },
});
