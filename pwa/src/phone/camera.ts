/** The camera: opening it, its lamp, and what labels it sees. */
import { Refused } from "../findings.ts";
import type { Part } from "./grey.ts";
import type { Point, Seen } from "./reading.ts";
import type { Look, Outcome } from "./scanner.worker.ts";

/** There is no picture to look at, and why. */
export class NoCamera extends Refused {}

/** A running camera. torch: switches the lamp, null where there is none to switch. */
export type Camera = {
  readonly video: HTMLVideoElement;
  readonly torch: ((on: boolean) => Promise<void>) | null;
  readonly stop: () => void;
};

/** The part of the frame that is looked at, as shares of its width and height. */
export type Region = { readonly x: number; readonly y: number; readonly width: number; readonly height: number };

/** The whole frame. */
export const WHOLE: Region = { x: 0, y: 0, width: 1, height: 1 };

const WANTED: MediaTrackConstraints = {
  facingMode: { ideal: "environment" },
  width: { ideal: 1280 },
  height: { ideal: 720 },
};

const TYPE_IT = "Or type the code beside the square.";

/** By the name of the browser's error. */
const WHY: Readonly<Record<string, readonly [string, string]>> = {
  NotAllowedError: ["This page may not use the camera.", "Allow the camera for this page in the browser's settings."],
  NotFoundError: ["This device has no camera that the browser can use.", "Plug one in."],
  OverconstrainedError: ["This device has no camera that the browser can use.", "Plug one in."],
  NotReadableError: ["Another program holds the camera.", "Close it and try again."],
  AbortError: ["The camera stopped before it gave a picture.", "Try again."],
};

/** Opens the rear camera and shows it in `video`. Rejects with NoCamera, which says why. */
export async function openCamera(video: HTMLVideoElement): Promise<Camera> {
  if (!navigator.mediaDevices?.getUserMedia) {
    throw new NoCamera(
      "The browser gives no camera to a page without a secure connection.",
      `Open it by https. ${TYPE_IT}`,
    );
  }
  warm();
  const stream = await navigator.mediaDevices.getUserMedia({ video: WANTED, audio: false }).catch(refuse);
  video.srcObject = stream;
  video.muted = true;
  video.playsInline = true;
  const stop = () => close(video, stream);
  try {
    await video.play();
  } catch (error) {
    stop();
    return refuse(error);
  }
  return { video, torch: torchOf(stream), stop };
}

function close(video: HTMLVideoElement, stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
  if (video.srcObject === stream) video.srcObject = null;
}

function refuse(error: unknown): never {
  const name = String((error as { name?: unknown } | null)?.name); // WebKit's OverconstrainedError is no DOMException
  const [what, next] = WHY[name] ?? [`The camera cannot be used (${String(error)}).`, "Try again."];
  throw new NoCamera(what, `${next} ${TYPE_IT}`);
}

/** The lamp of the phone, where the browser lets a page have it. */
function torchOf(stream: MediaStream): Camera["torch"] {
  const [track] = stream.getVideoTracks();
  const can = track?.getCapabilities?.() as { torch?: boolean } | undefined;
  if (!track || !can?.torch) return null;
  return (on) => track.applyConstraints({ advanced: [{ torch: on } as MediaTrackConstraintSet] });
}

/**
 * Calls `onSeen` after every look with the labels in it, corners as shares of the frame. Gives what ends it.
 *
 * Looks as fast as the reader keeps up, one at a time, and not while the page is hidden. onError: why it cannot look
 * any further, in a sentence. region: the part of the frame to look at.
 */
export function watch(
  camera: Camera,
  onSeen: (seen: readonly Seen[]) => void,
  onError: (error: string) => void,
  region: () => Region = () => WHOLE,
): () => void {
  let going = true;
  const run = async () => {
    let lifted = false;
    while (going) {
      await nextFrame(camera.video);
      if (!going || document.hidden || !camera.video.videoWidth) continue;
      const seen = await look(camera.video, region(), lifted);
      if (going) onSeen(seen);
      // What stays unread gets the other look in turn; what is read is looked at in the same way again.
      if (seen.length === 0) lifted = !lifted;
    }
  };
  run().catch((error: unknown) => {
    if (going) onError(`Labels cannot be read by camera here (${String(error)}). Type the code beside the square.`);
  });
  return () => {
    going = false;
  };
}

function nextFrame(video: HTMLVideoElement): Promise<unknown> {
  return new Promise((resolve) => {
    if ("requestVideoFrameCallback" in video) video.requestVideoFrameCallback(resolve);
    else requestAnimationFrame(resolve);
  });
}

/** One look at a region of the frame. */
async function look(video: HTMLVideoElement, region: Region, lifted: boolean): Promise<Seen[]> {
  const { videoWidth: wide, videoHeight: high } = video;
  const part = { x: region.x * wide, y: region.y * high, width: region.width * wide, height: region.height * high };
  const seen = await ask(await frameOf(video), part, lifted);
  return seen.map(({ text, corners }) => ({ text, corners: corners.map(([x, y]): Point => [x / wide, y / high]) }));
}

/** The frame itself where the browser hands it out upright: taking it costs nothing on the page's thread. */
async function frameOf(video: HTMLVideoElement): Promise<VideoFrame | ImageBitmap> {
  if ("VideoFrame" in globalThis) {
    const frame = new VideoFrame(video);
    if (frame.displayWidth === video.videoWidth && frame.displayHeight === video.videoHeight) return frame;
    frame.close();
  }
  return createImageBitmap(video);
}

let worker: Worker | null = null;
let asked = 0;

/** Starts the reader: its program is compiled while the person is still asked for the camera. */
export function warm(): Worker {
  worker ??= new Worker(new URL("./scanner.worker.ts", import.meta.url), { type: "module" });
  return worker;
}

/** What the reader sees in the picture, which is handed over to it. Rejects when it cannot look at all. */
function ask(picture: VideoFrame | ImageBitmap, part: Part, lifted: boolean): Promise<readonly Seen[]> {
  const reader = warm();
  const question: Look = { n: ++asked, picture, part, lifted };
  return new Promise((resolve, reject) => {
    const done = () => {
      reader.removeEventListener("message", hear);
      reader.removeEventListener("error", fail);
    };
    const hear = ({ data }: MessageEvent<Outcome>) => {
      if (data.n !== question.n) return;
      done();
      if (data.error) reject(new Error(data.error));
      else resolve(data.seen);
    };
    const fail = (event: ErrorEvent) => {
      done();
      reader.terminate();
      worker = null;
      reject(new Error(event.message || "the reader did not start"));
    };
    reader.addEventListener("message", hear);
    reader.addEventListener("error", fail);
    reader.postMessage(question, [picture]);
  });
}
