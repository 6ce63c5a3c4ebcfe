/** A picture from the camera, made small enough to keep and stripped of what it does not show. */
import { Refused } from "../findings.ts";

/** Enough to read a rule in it. */
const LONG_SIDE = 1600;
const QUALITY = 0.8;
/** The kind of picture that is kept. */
export const TYPE = "image/jpeg";

/** The picture as a JPEG, its long side 1600 px at most, the right way up, without place or time. Rejects with Refused. */
export async function smaller(file: Blob): Promise<Uint8Array<ArrayBuffer>> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => {
    throw new Refused("This picture cannot be read here.", "Take it with the camera, or choose a JPEG.");
  });
  const scale = Math.min(1, LONG_SIDE / Math.max(picture.width, picture.height));
  const [width, height] = [Math.round(picture.width * scale), Math.round(picture.height * scale)];
  const canvas = new OffscreenCanvas(Math.max(1, width), Math.max(1, height));
  const pen = canvas.getContext("2d", { alpha: false });
  if (!pen)
    throw new Refused("This phone has no room to make the picture smaller.", "Close other pages and try again.");
  pen.fillStyle = "white";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const written = await canvas.convertToBlob({ type: TYPE, quality: QUALITY });
  return bare(new Uint8Array(await written.arrayBuffer()));
}

const [APP0, APP14, COMMENT, SCAN] = [0xe0, 0xee, 0xfe, 0xda];

/**
 * A JPEG without the segments that say something about it: some browsers write such even from a canvas.
 *
 * ITU-T T.81, B.1.1: markers with a length up to the first scan. JFIF (APP0) stays, and how colours are to be
 * read (APP14).
 */
export function bare(jpeg: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const kept = [jpeg.subarray(0, 2)];
  let at = 2;
  while (jpeg[at] === 0xff && jpeg[at + 1] !== SCAN) {
    const marker = jpeg[at + 1] ?? 0;
    const end = at + 2 + (jpeg[at + 2] ?? 0) * 256 + (jpeg[at + 3] ?? 0);
    const says = marker === COMMENT || (marker > APP0 && marker <= 0xef && marker !== APP14);
    if (!says) kept.push(jpeg.subarray(at, end));
    at = end;
  }
  kept.push(jpeg.subarray(at));
  return joined(kept);
}

function joined(pieces: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const all = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}
