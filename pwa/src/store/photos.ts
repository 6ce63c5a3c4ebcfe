/** Photos on this phone: its own until a server has them, all others as long as there is room. */
import { type Database, isFull, type KeptPhoto, type Writing, write } from "./database.ts";
import { hex } from "./stamp.ts";

export type Bytes = Uint8Array<ArrayBuffer>;

/** What is let go of first is what was kept first, of what a server has. About 300 photos. */
export const MOST_BYTES = 100_000_000;

/** The picture's name: its SHA-256. */
export async function nameOf(bytes: Bytes): Promise<string> {
  return hex(new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)));
}

/** Keeps a photo that was taken here; done when the disk has it. Rejects with QuotaExceededError on a full phone. */
export async function keepTaken(db: Database, bytes: Bytes, type: string, now: number): Promise<KeptPhoto> {
  const photo = { sha256: await nameOf(bytes), type, bytes: bytes.length, kept_ms: now, unsent: true };
  const keeping = () => put(db, "strict", photo, bytes, MOST_BYTES);
  // On a full phone its own photo goes before what the server can give again.
  await keeping().catch(async (error: unknown) => {
    if (!isFull(error)) throw error;
    await write(db, "strict", (tx) => letGo(tx, 0));
    await keeping();
  });
  return photo;
}

/** Keeps another device's photo to look at without a network. A full phone goes without. */
export async function keepFetched(db: Database, bytes: Bytes, type: string, now: number): Promise<void> {
  const photo = { sha256: await nameOf(bytes), type, bytes: bytes.length, kept_ms: now, unsent: false };
  await put(db, "relaxed", photo, bytes, MOST_BYTES).catch((error: unknown) => {
    if (!isFull(error)) throw error;
  });
}

/** The photo, where this phone has it. */
export async function photoHere(db: Database, sha256: string): Promise<Blob | null> {
  const [photo, bytes] = await Promise.all([db.get("photos", sha256), db.get("pictures", sha256)]);
  return photo && bytes ? new Blob([bytes], { type: photo.type }) : null;
}

/** Photos that no server has yet, the first taken first. */
export async function unsentIn(db: Database): Promise<readonly KeptPhoto[]> {
  return (await db.getAll("photos")).filter(({ unsent }) => unsent).sort((a, b) => a.kept_ms - b.kept_ms);
}

/** A server has it on its disk. */
export function markSent(db: Database, sha256: string): Promise<void> {
  return write(db, "relaxed", async (tx) => {
    const photo = await tx.objectStore("photos").get(sha256);
    if (photo) await tx.objectStore("photos").put({ ...photo, unsent: false }, sha256);
  });
}

/** The server was restored and may lack any of them. To send one that it has does no harm. */
export async function allUnsent(tx: Writing): Promise<void> {
  const photos = await tx.objectStore("photos").getAll();
  await Promise.all(photos.map((photo) => tx.objectStore("photos").put({ ...photo, unsent: true }, photo.sha256)));
}

/** A photo that is here already, not sent, stays so. */
function put(db: Database, durability: "strict" | "relaxed", photo: KeptPhoto, bytes: Bytes, most: number) {
  return write(db, durability, async (tx) => {
    const known = await tx.objectStore("photos").get(photo.sha256);
    const unsent = photo.unsent || (known?.unsent ?? false);
    await tx.objectStore("photos").put({ ...photo, unsent }, photo.sha256);
    await tx.objectStore("pictures").put(bytes, photo.sha256);
    await letGo(tx, most, photo.sha256);
  });
}

/** Drops the oldest, but never what is unsent nor `but`, until all together have `most` bytes at the most. */
export async function letGo(tx: Writing, most: number, but = ""): Promise<void> {
  const photos = await tx.objectStore("photos").getAll();
  let bytes = photos.reduce((sum, photo) => sum + photo.bytes, 0);
  const sent = photos.filter(({ unsent, sha256 }) => !unsent && sha256 !== but);
  for (const photo of sent.sort((a, b) => a.kept_ms - b.kept_ms)) {
    if (bytes <= most) return;
    bytes -= photo.bytes;
    await tx.objectStore("photos").delete(photo.sha256);
    await tx.objectStore("pictures").delete(photo.sha256);
  }
}
