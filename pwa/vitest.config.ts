import { fileURLToPath } from "node:url";
import { defineConfig, type Plugin } from "vitest/config";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const tests = here("../tests/");

/** The tests stand outside this folder, so what they import by name is looked up from here. */
const libraries: Plugin = {
  name: "libraries-from-pwa",
  enforce: "pre",
  resolveId(source, importer) {
    const byName = !/^[./\0]|^node:/.test(source);
    return byName && importer?.startsWith(tests)
      ? this.resolve(source, here("package.json"), { skipSelf: true })
      : null;
  },
};

export default defineConfig({
  root: here("."),
  plugins: [libraries],
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  test: {
    dir: tests,
    include: ["vectors.test.ts", "pwa/**/*.test.{ts,tsx}"],
    environment: "node",
  },
  server: { fs: { allow: [here(".."), tests] } },
});
