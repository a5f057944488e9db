// The bundle is committed in the Python package, so the same source must give the same bytes:
// fixed names, no dates, no host.
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";

export default defineConfig({
  base: "./",
  plugins: [svelte()],
  build: {
    outDir: "../src/laminature/worktable/page",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: false,
    assetsInlineLimit: 0,
    assetsDir: ".",
    chunkSizeWarningLimit: 1200,
    license: { fileName: "licences.md" },
    rolldownOptions: {
      output: {
        entryFileNames: "page.js",
        chunkFileNames: "[name].js",
        assetFileNames: "[name][extname]",
      },
    },
  },
});
