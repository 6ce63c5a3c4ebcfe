/** The grey of a frame, in as few steps as the browser allows: reading pixels is what scanning costs most. */
import type { Grey } from "./reading.ts";

/** A rectangle of a picture, in its pixels. */
export type Part = { readonly x: number; readonly y: number; readonly width: number; readonly height: number };

/** Longest side of what the reader gets, in pixels: a module of a label in hand is still four of them. */
const LONGEST = 960;

/** Frames whose first plane is the grey picture itself. The others are drawn and read back. */
const GREY_FIRST = ["I420", "I420A", "I422", "I444", "NV12"];

/** The part of the picture as grey, made smaller by a whole number where it is larger than the reader needs. */
export async function greyOf(picture: VideoFrame | ImageBitmap, part: Part): Promise<Grey> {
  const step = Math.ceil(Math.max(part.width, part.height) / LONGEST);
  if ("format" in picture && picture.format && GREY_FIRST.includes(picture.format)) {
    return fromPlane(picture, part, step);
  }
  return drawn(picture, part, step);
}

let planes = new Uint8Array(0);

/** From the frame's own first plane: nothing is drawn, no colour is made. */
async function fromPlane(frame: VideoFrame, part: Part, step: number): Promise<Grey> {
  // Colour stands for two by two pixels, so that a cut must lie between pairs.
  const { x = 0, y = 0 } = frame.visibleRect ?? {};
  const rect = { x: even(x + part.x), y: even(y + part.y), width: even(part.width), height: even(part.height) };
  const size = frame.allocationSize({ rect });
  if (planes.length < size) planes = new Uint8Array(size);
  const [first] = await frame.copyTo(planes, { rect });
  const plane = planes.subarray(first?.offset ?? 0);
  return smaller(plane, first?.stride ?? rect.width, rect.width, rect.height, step);
}

function even(pixels: number): number {
  return Math.floor(pixels / 2) * 2;
}

/** Every pixel the mean of step × step; at 1 a copy. */
function smaller(plane: Uint8Array, stride: number, wide: number, high: number, step: number): Grey {
  const [width, height] = [Math.floor(wide / step), Math.floor(high / step)];
  const data = new Uint8ClampedArray(width * height);
  for (let y = 0, to = 0; y < height; y++) {
    for (let x = 0; x < width; x++, to++) {
      let sum = 0;
      for (let row = y * step; row < (y + 1) * step; row++) {
        for (let from = row * stride + x * step, end = from + step; from < end; from++) sum += plane[from] as number;
      }
      data[to] = sum / (step * step);
    }
  }
  return { data, width, height };
}

let context: OffscreenCanvasRenderingContext2D | null = null;

/** From a drawing of the picture. */
function drawn(picture: VideoFrame | ImageBitmap, part: Part, step: number): Grey {
  const [width, height] = [Math.floor(part.width / step), Math.floor(part.height / step)];
  context ??= new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true });
  if (!context) throw new Error("no canvas to read pixels from");
  const { canvas } = context;
  if (canvas.width !== width || canvas.height !== height) [canvas.width, canvas.height] = [width, height];
  context.drawImage(picture, part.x, part.y, part.width, part.height, 0, 0, width, height);
  const pixels = context.getImageData(0, 0, width, height).data;
  const data = new Uint8ClampedArray(width * height);
  for (let i = 0, from = 0; i < data.length; i++, from += 4) {
    // The usual weights of red, green and blue (ITU-R BT.601), in 256ths.
    data[i] =
      (77 * (pixels[from] as number) + 150 * (pixels[from + 1] as number) + 29 * (pixels[from + 2] as number)) >> 8;
  }
  return { data, width, height };
}
