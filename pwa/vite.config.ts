import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";
import { icons } from "./icons.ts";
import { precache } from "./precache.ts";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here("."),
  plugins: [icons(), precache(here("src/worker.ts"))],
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: {
    outDir: here("../backend/benchbell/page"),
    emptyOutDir: true,
    target: "es2022",
    // Nothing inline: the content security policy allows scripts and pictures from files alone.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
});
