/** Makes one script of phone_fold.ts, for a browser. */
import { fileURLToPath } from "node:url";

export default {
  build: {
    lib: {
      entry: fileURLToPath(new URL("./phone_fold.ts", import.meta.url)),
      formats: ["iife"],
      name: "phoneFold",
      fileName: "phone_fold",
    },
  },
};
