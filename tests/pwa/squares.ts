/**
 * Reads labels in pictures as the page does, for as long as it is asked: a JSON line
 * {"width", "height", "grey": base64, "lifted"} in, a JSON list of {text, corners} out.
 */
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { prepareZXingModule } from "../../pwa/node_modules/zxing-wasm/dist/es/reader/index.js";
import { lift, type Picture, squaresIn } from "../../pwa/src/phone/reading.ts";

const library = new URL("../../pwa/node_modules/zxing-wasm/dist/reader/zxing_reader.wasm", import.meta.url);
prepareZXingModule({ overrides: { wasmBinary: readFileSync(library).buffer as ArrayBuffer } });

type Question = { readonly width: number; readonly height: number; readonly grey: string; readonly lifted: boolean };

for await (const line of createInterface({ input: process.stdin })) {
  const question: Question = JSON.parse(line);
  const picture = pictureOf(question);
  console.log(JSON.stringify(await squaresIn(question.lifted ? lift(picture) : picture)));
}

/** Grey bytes as a browser's picture. */
function pictureOf({ width, height, grey }: Question): Picture {
  const data = new Uint8ClampedArray(width * height * 4).fill(255);
  Buffer.from(grey, "base64").forEach((level, n) => {
    data[4 * n] = data[4 * n + 1] = data[4 * n + 2] = level;
  });
  return { data, width, height } as Picture;
}
