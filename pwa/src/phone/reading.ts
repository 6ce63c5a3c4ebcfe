/** QR squares in a picture. Knows nothing of cameras, workers or labels. */
import { type ReaderOptions, readBarcodes } from "zxing-wasm/reader";

/** x and y, counted from the top left. */
export type Point = readonly [number, number];

/** A square that was read: what it holds, and its corners, clockwise from its own top left. */
export type Seen = { readonly text: string; readonly corners: readonly Point[] };

/** A grey picture: one byte a pixel, row by row, 0 for black. */
export type Grey = { readonly data: Uint8ClampedArray; readonly width: number; readonly height: number };

/** "QRCode" would be a whole family, whose smallest members are found in mere noise. */
const OPTIONS: ReaderOptions = { formats: ["QRCodeModel2"], maxNumberOfSymbols: 12 };

/** Every square in the picture, corners in pixels. Rejects when the reader's program cannot be loaded. */
export async function squaresIn(picture: Grey): Promise<Seen[]> {
  const results = await readBarcodes(coloured(picture) as ImageData, OPTIONS);
  return results
    .filter((result) => result.isValid)
    .map(({ text, position: { topLeft, topRight, bottomRight, bottomLeft } }) => ({
      text,
      corners: [topLeft, topRight, bottomRight, bottomLeft].map(({ x, y }): Point => [x, y]),
    }));
}

/** The picture with four bytes a pixel, as the library takes it. */
function coloured({ data, width, height }: Grey): Pick<ImageData, "data" | "width" | "height"> {
  const pixels = new Uint32Array(data.length);
  for (let i = 0; i < data.length; i++) pixels[i] = 0xff000000 | ((data[i] as number) * 0x010101);
  return { data: new Uint8ClampedArray(pixels.buffer), width, height };
}

/** Of the way from the darkest to the lightest: what is lighter counts as white. */
const WHITE_FROM = 0.45;

/** Pixels that may be darker or lighter than what counts as darkest and lightest, as a share. */
const STRAY = 0.02;

/**
 * The picture with all but the darkest pulled up to white, in its own bytes.
 *
 * Thin glue, oil and dust make paper grey but leave ink black, which defeats the reader's own threshold; this removes
 * that grey. It makes glare worse, so it is for a second look.
 */
export function lift(picture: Grey): Grey {
  const { data } = picture;
  const [dark, light] = range(data);
  const level = Uint8ClampedArray.from({ length: 256 }, (_, value) =>
    light > dark ? ((value - dark) / (WHITE_FROM * (light - dark))) * 255 : value,
  );
  for (let i = 0; i < data.length; i++) data[i] = level[data[i] as number] as number;
  return picture;
}

/** The darkest and the lightest of every fourth pixel, strays left out. */
function range(data: Uint8ClampedArray): [number, number] {
  const count = new Uint32Array(256);
  for (let i = 0; i < data.length; i += 4) count[data[i] as number] = (count[data[i] as number] as number) + 1;
  const stray = (data.length / 4) * STRAY;
  return [edge(count, stray, 0, 1), edge(count, stray, 255, -1)];
}

/** The first level, from `from` on, at which more than `stray` pixels have been passed. */
function edge(count: Uint32Array, stray: number, from: number, step: 1 | -1): number {
  let passed = 0;
  let level = from;
  while (level >= 0 && level <= 255) {
    passed += count[level] as number;
    if (passed > stray) break;
    level += step;
  }
  return level;
}
