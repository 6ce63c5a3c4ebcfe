import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { build, type Plugin } from "vite";

/**
 * Builds the service worker once the page stands: it is told which files to keep (`PRECACHE`) and a hash
 * of them all (`VERSION`), so that it changes exactly when one of them, or its own text, does.
 */
export function precache(worker: string): Plugin {
  let folder = "";
  return {
    name: "precache",
    apply: "build",
    configResolved(config) {
      folder = resolve(config.root, config.build.outDir);
    },
    writeBundle: {
      order: "post",
      sequential: true,
      async handler() {
        await buildWorker(worker, folder);
      },
    },
  };
}

/** The worker beside the finished page, as a classic script that every browser takes. */
async function buildWorker(worker: string, folder: string): Promise<void> {
  const files = filesIn(folder);
  await build({
    configFile: false,
    publicDir: false,
    logLevel: "warn",
    define: {
      PRECACHE: JSON.stringify(files.map((file) => (file === "index.html" ? "/" : `/${file}`))),
      VERSION: JSON.stringify(versionOf(folder, files)),
    },
    build: {
      outDir: folder,
      emptyOutDir: false,
      lib: { entry: worker, formats: ["iife"], name: "worker", fileName: () => "worker.js" },
    },
  });
}

/** Every built file by its path in the folder, in an order that is always the same. */
function filesIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(folder.length + 1)
        .replaceAll("\\", "/"),
    )
    .sort();
}

/** 16 hex digits of a hash over names and contents. */
function versionOf(folder: string, files: readonly string[]): string {
  const hash = createHash("sha256");
  for (const file of files) hash.update(`${file}\0`).update(readFileSync(join(folder, file)));
  return hash.digest("hex").slice(0, 16);
}
