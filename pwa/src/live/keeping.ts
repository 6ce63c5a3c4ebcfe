/** Whether what is recorded stays on this phone, and what to say when the browser has thrown it away. */
import { effect, type Signal, signal } from "@preact/signals";
import { askToLast, type Lasting, readLasting } from "../phone/lasting.ts";
import { markUnsent, readMark, type Unsent } from "../phone/unsent_mark.ts";
import { type Database, isNew } from "../store/database.ts";
import { photosWaiting, sendPhotos } from "./photos.ts";
import { session } from "./session.ts";
import { hadBefore, syncing } from "./state.ts";

/** How lasting it is; null until the browser was asked. */
export const lasting: Signal<Lasting | null> = signal(null);

/** What was lost and why, in sentences; "" when nothing was, or when it was read. */
export const loss: Signal<string> = signal("");

/** Whether the store was new as the page opened, and nothing tells whether there was one before. */
const isUnmarked = signal(false);

effect(() => {
  if (isUnmarked.value && hadBefore.value) loss.value = closedLossWords(null);
});

/** Asks the browser how lasting it is. Never rejects. */
export async function learnLasting(): Promise<void> {
  lasting.value = await readLasting();
}

/** Asks the browser to promise to keep it, unless it has or never will. Never rejects. */
export async function wantLasting(): Promise<void> {
  if (lasting.value === null) await learnLasting();
  if (lasting.value !== "not promised") return;
  await askToLast();
  await learnLasting();
}

/** The store is open again: writes down what is in memory where it was emptied, says so, and goes on. Never rejects. */
export async function goOn(): Promise<void> {
  const open = session();
  if (!open) return;
  try {
    const photos = photosWaiting.value.waiting;
    if (await open.writeBack()) loss.value = lossWords(photos);
  } catch (error) {
    console.error(error); // whoever writes next shows it
  }
  await open.recorder.keepAll();
  open.recorder.syncNow();
  sendPhotos();
}

/**
 * Looks, before the store is written to, whether the browser threw it away while the page was closed, and says what
 * that cost. Where no mark tells, the server does: it had entries of this device before. Gives what begins to mark what
 * waits. Rejects when the store cannot be read.
 */
export async function missWhatWasKept(db: Database): Promise<() => void> {
  const [marked, isEmpty] = [readMark(), await isNew(db)];
  if (isEmpty && marked) loss.value = closedLossWords(marked);
  isUnmarked.value = isEmpty && !marked;
  return () => effect(() => markUnsent({ things: syncing.value.waiting, photos: photosWaiting.value.waiting }));
}

/** What is told of a store that was thrown away while the page was closed; "" where nothing waited in it. */
export function closedLossWords(unsent: Unsent | null): string {
  if (unsent && unsent.things + unsent.photos === 0) return "";
  const what = unsent
    ? `What was not sent yet is lost: ${inWords(unsent)}. Record it again.`
    : "If anything was not sent yet, it is lost: look whether your last entries are there, and record again what is not.";
  return `While this page was closed, the ${THROWN_AWAY}. ${what} ${NEXT_TIME}`;
}

function inWords({ things, photos }: Unsent): string {
  const parts = [
    things > 0 && (things === 1 ? "1 thing" : `${things} things`),
    photos > 0 && (photos === 1 ? "1 photo" : `${photos} photos`),
  ];
  return parts.filter((part) => part !== false).join(" and ");
}

const THROWN_AWAY = "browser threw away what was kept here, to make room or because somebody cleared it";
const NEXT_TIME = "Free some room, and add the page to the home screen.";

/** What a person is told of a store that was thrown away. photos: how many were lost. */
export function lossWords(photos: number): string {
  const gone = photos === 1 ? "1 photo that no server had is" : `${photos} photos that no server had are`;
  const lost =
    photos === 0 ? "Nothing recorded is lost: the page still had it." : `${gone} lost; the page had all else.`;
  return `The ${THROWN_AWAY}. ${lost} ${NEXT_TIME}`;
}
