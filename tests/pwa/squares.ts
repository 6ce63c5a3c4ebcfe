/**
 * Reads labels in pictures as the page does, for as long as it is asked: a JSON line
 * {"width", "height", "grey": base64, "lifted"} in, a JSON list of {text, corners} out.
 */
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { prepareZXingModule } from "../../pwa/node_modules/zxing-wasm/dist/es/reader/index.js";
import { type Grey, lift, squaresIn } from "../../pwa/src/phone/reading.ts";

const library = new URL("../../pwa/node_modules/zxing-wasm/dist/reader/zxing_reader.wasm", import.meta.url);
prepareZXingModule({ overrides: { wasmBinary: readFileSync(library).buffer as ArrayBuffer } });

type Question = { readonly width: number; readonly height: number; readonly grey: string; readonly lifted: boolean };

for await (const line of createInterface({ input: process.stdin })) {
  const question: Question = JSON.parse(line);
  const picture = pictureOf(question);
  console.log(JSON.stringify(await squaresIn(question.lifted ? lift(picture) : picture)));
}

function pictureOf({ width, height, grey }: Question): Grey {
  return { data: new Uint8ClampedArray(Buffer.from(grey, "base64")), width, height };
}
