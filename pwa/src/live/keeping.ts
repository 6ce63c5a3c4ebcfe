/** Whether what is recorded stays on this phone, and what to say when the browser has thrown it away. */
import { type Signal, signal } from "@preact/signals";
import { askToLast, type Lasting, readLasting } from "../phone/lasting.ts";
import { photosWaiting, sendPhotos } from "./photos.ts";
import { session } from "./session.ts";

/** How lasting it is; null until the browser was asked. */
export const lasting: Signal<Lasting | null> = signal(null);

/** What was lost and why, in sentences; "" when nothing was, or when it was read. */
export const loss: Signal<string> = signal("");

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

/** What a person is told of a store that was thrown away. photos: how many were lost. */
export function lossWords(photos: number): string {
  const gone = photos === 1 ? "1 photo that no server had is" : `${photos} photos that no server had are`;
  const lost =
    photos === 0 ? "Nothing recorded is lost: the page still had it." : `${gone} lost; the page had all else.`;
  return `The browser threw away what was kept here, to make room or because somebody cleared it. ${lost} Free some room, and add the page to the home screen.`;
}
