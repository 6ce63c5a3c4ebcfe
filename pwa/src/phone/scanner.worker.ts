/**
 * Reads labels off the page's own thread, so that a tap is never late.
 *
 * In: a `Look`. Out: an `Outcome` with the same number. The browser's own detector looks first where there is
 * one; ours looks when that saw nothing, and always takes the second, lifted look.
 */
import { prepareZXingModule } from "zxing-wasm/reader";
import wasm from "zxing-wasm/reader/zxing_reader.wasm?url";
import { greyOf, type Part } from "./grey.ts";
import { lift, type Point, type Seen, squaresIn } from "./reading.ts";

/** A picture, the part of it to look at in its pixels, and whether this is the second look, for dirt. */
export type Look = {
  readonly n: number;
  readonly picture: VideoFrame | ImageBitmap;
  readonly part: Part;
  readonly lifted: boolean;
};

/** What was seen, corners in pixels of the picture, or why nothing could be. */
export type Outcome = { readonly n: number; readonly seen: readonly Seen[]; readonly error?: string };

type Found = {
  readonly rawValue: string;
  readonly cornerPoints: readonly { readonly x: number; readonly y: number }[];
};
type Detector = { detect(picture: VideoFrame | ImageBitmap): Promise<readonly Found[]> };
type Detectors = { new (options: { formats: string[] }): Detector; getSupportedFormats(): Promise<string[]> };

// From our own server, never from the address the library has built in.
prepareZXingModule({
  overrides: { locateFile: (path: string, folder: string) => (path.endsWith(".wasm") ? wasm : folder + path) },
  fireImmediately: true,
});

let own: Promise<Detector | null> = ownDetector();

addEventListener("message", ({ data }: MessageEvent<Look>) => {
  void look(data)
    .catch((error: unknown): Outcome => ({ n: data.n, seen: [], error: String(error) }))
    .then((outcome) => {
      data.picture.close();
      postMessage(outcome);
    });
});

async function look({ n, picture, part, lifted }: Look): Promise<Outcome> {
  const seen = lifted ? [] : await byBrowser(picture);
  return { n, seen: seen.length ? seen : await byOurs(picture, part, lifted) };
}

async function byOurs(picture: VideoFrame | ImageBitmap, part: Part, lifted: boolean): Promise<Seen[]> {
  const grey = await greyOf(picture, part);
  const scale = part.width / grey.width;
  const seen = await squaresIn(lifted ? lift(grey) : grey);
  return seen.map(({ text, corners }) => ({
    text,
    corners: corners.map(([x, y]): Point => [part.x + x * scale, part.y + y * scale]),
  }));
}

/** Some browsers have the detector by name and no service behind it: one failure and it is never asked again. */
async function byBrowser(picture: VideoFrame | ImageBitmap): Promise<Seen[]> {
  const detector = await own;
  if (!detector) return [];
  try {
    const found = await detector.detect(picture);
    return found.map(({ rawValue, cornerPoints }) => ({
      text: rawValue,
      corners: cornerPoints.map(({ x, y }): Point => [x, y]),
    }));
  } catch {
    own = Promise.resolve(null);
    return [];
  }
}

async function ownDetector(): Promise<Detector | null> {
  const Detectors = (globalThis as { BarcodeDetector?: Detectors }).BarcodeDetector;
  if (!Detectors) return null;
  try {
    const formats = await Detectors.getSupportedFormats();
    return formats.includes("qr_code") ? new Detectors({ formats: ["qr_code"] }) : null;
  } catch {
    return null;
  }
}
