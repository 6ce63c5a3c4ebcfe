/**
 * Photos: taken and shown at once from this phone, sent when the server is there, others' fetched when looked at.
 *
 * The picture is on the phone's disk before the happening that names it is recorded.
 */
import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { Refused } from "../findings.ts";
import { smaller, TYPE } from "../phone/picture.ts";
import { serverNow } from "../phone/server_time.ts";
import { type Database, isFull, type KeptPhoto } from "../store/database.ts";
import { PhotoSender, type PhotosView } from "../store/photo_sender.ts";
import { keepFetched, keepTaken, nameOf, readPhoto } from "../store/photos.ts";
import { pauseAfter, type World } from "../store/retry.ts";
import { ask, type Reply, TIMEOUT_MS } from "../store/server_client.ts";
import type { Photo } from "../wire.gen.ts";

/** A photo's picture as an address in this page, or why there is none. */
export type PhotoView = { readonly url: string } | { readonly what: string; readonly next_step: string };

const counted: Signal<PhotosView> = signal({ waiting: 0, sentence: "" });
const taking = signal(0);

/** Photos that no server has yet, from the moment they are taken. */
export const photosWaiting: ReadonlySignal<PhotosView> = computed(() => {
  const { waiting, sentence } = counted.value;
  return { waiting: waiting + taking.value, sentence };
});

const FULL = new Refused(
  "This phone has no room left: the photo was not kept.",
  "Free some room on the phone, then take it again.",
);
const AWAY = { what: "The photo is not on this phone.", next_step: "It comes when the server is there again." };

let current: { readonly db: Database; readonly device: string; readonly sender: PhotoSender } | null = null;

/** Counts and sends what waits. Call `sendNow` of what it gives whenever the server may be there. */
export function startPhotos(db: Database, device: string, world: World): PhotoSender {
  const send = ({ sha256 }: KeptPhoto, picture: Blob): Promise<Reply<null>> =>
    ask(device, photoPath(sha256), { method: "PUT", body: picture, timeoutMs: TIMEOUT_MS.photo });
  const sender = new PhotoSender(db, send, alone, world, (view) => {
    counted.value = view;
  });
  current = { db, device, sender };
  sender.sendNow();
  return sender;
}

/** Counts and sends at once what waits. */
export function sendPhotos(): void {
  current?.sender.sendNow();
}

/** Keeps a picture on this phone, made smaller; gives what is to be recorded of it. Rejects with Refused. */
export async function takePhoto(file: Blob): Promise<Photo> {
  if (!current) throw new Refused("The phone's store is not open yet.", "Try again.");
  taking.value += 1;
  try {
    const kept = await keepTaken(current.db, await smaller(file), TYPE, serverNow());
    counted.value = { ...counted.value, waiting: counted.value.waiting + 1 }; // until the sender has counted it
    return { kind: "photo", sha256: kept.sha256, type: kept.type, bytes: kept.bytes };
  } catch (error) {
    throw isFull(error) ? FULL : error;
  } finally {
    taking.value -= 1;
    current.sender.sendNow();
  }
}

/** Calls `tell` with a photo from this phone, or else from the server, which is asked until it has it. Gives what ends it. */
export function watchPhoto(sha256: string, tell: (seen: PhotoView) => void): () => void {
  let [url, isOver] = ["", false];
  let timer: ReturnType<typeof setTimeout> | undefined;
  const look = async (failures: number): Promise<void> => {
    const found = await inLine(() => find(sha256));
    if (isOver) return;
    if (found instanceof Blob) url = URL.createObjectURL(found);
    else timer = setTimeout(() => void look(failures + 1), pauseAfter(failures + 1, Math.random()));
    tell(found instanceof Blob ? { url } : found);
  };
  void look(0);
  return () => {
    isOver = true;
    clearTimeout(timer);
    if (url) URL.revokeObjectURL(url);
  };
}

async function find(sha256: string): Promise<Blob | Exclude<PhotoView, { url: string }>> {
  if (!current) return AWAY;
  const here = await readPhoto(current.db, sha256).catch(() => null);
  if (here) return here;
  const read = (response: Response) => response.blob();
  const reply = await ask(current.device, photoPath(sha256), { timeoutMs: TIMEOUT_MS.photo, read });
  if (reply.kind !== "ok") return reply.kind === "refused" ? reply.problem : AWAY;
  const came = reply.value;
  const bytes = new Uint8Array(await came.arrayBuffer());
  if ((await nameOf(bytes)) !== sha256) return AWAY;
  await keepFetched(current.db, bytes, came.type, serverNow()).catch(console.error);
  return came;
}

function photoPath(sha256: string): string {
  return `/photos/${encodeURIComponent(sha256)}`;
}

let line: Promise<unknown> = Promise.resolve();

/** One photo at a time, so that a log with many photos does not hold up what was recorded. */
function inLine<Found>(work: () => Promise<Found>): Promise<Found> {
  const turn = line.then(work);
  line = turn.catch(() => {});
  return turn;
}

/** Of several tabs one sends; where the browser has no locks each does, which costs repeats and nothing else. */
async function alone(work: () => Promise<void>): Promise<void> {
  if (!navigator.locks) return work();
  await navigator.locks.request("benchbell-photos", { ifAvailable: true }, (lock) => (lock ? work() : undefined));
}
