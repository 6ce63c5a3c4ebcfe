/** Photos on this phone: its own until a server has them, others as long as there is room. */
import { type Database, isFull, type KeptPhoto, type Writing, write } from "./database.ts";
import { hex } from "./stamp.ts";

type Bytes = Uint8Array<ArrayBuffer>;

/** Beyond this, in bytes, photos that a server has are dropped, the oldest first. About 300 photos. */
export const MOST_BYTES = 100_000_000;

/** The picture's name: its SHA-256. */
export async function nameOf(bytes: Bytes): Promise<string> {
  return hex(new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)));
}

/** Keeps a photo that was taken here; resolves when the disk has it. Rejects with QuotaExceededError on a full phone. */
export async function keepTaken(db: Database, bytes: Bytes, type: string, now: number): Promise<KeptPhoto> {
  const photo = { sha256: await nameOf(bytes), type, bytes: bytes.length, kept_ms: now, unsent: true };
  const keeping = () => put(db, "strict", photo, bytes, MOST_BYTES);
  // On a full phone its own photo goes before what the server can give again.
  await keeping().catch(async (error: unknown) => {
    if (!isFull(error)) throw error;
    await write(db, "strict", (tx) => dropOldest(tx, 0));
    await keeping();
  });
  return photo;
}

/** Keeps another device's photo to look at without a network; a full phone does without. */
export async function keepFetched(db: Database, bytes: Bytes, type: string, now: number): Promise<void> {
  const photo = { sha256: await nameOf(bytes), type, bytes: bytes.length, kept_ms: now, unsent: false };
  await put(db, "relaxed", photo, bytes, MOST_BYTES).catch((error: unknown) => {
    if (!isFull(error)) throw error;
  });
}

/** The photo by its name; null when this phone does not have it. */
export async function readPhoto(db: Database, sha256: string): Promise<Blob | null> {
  const [photo, bytes] = await Promise.all([db.get("photos", sha256), db.get("pictures", sha256)]);
  return photo && bytes ? new Blob([bytes], { type: photo.type }) : null;
}

/** Photos that no server has yet, in the order they were taken. */
export async function readUnsent(db: Database): Promise<readonly KeptPhoto[]> {
  return (await db.getAll("photos")).filter(({ unsent }) => unsent).sort((a, b) => a.kept_ms - b.kept_ms);
}

/** Notes that a server has the photo on its disk. */
export function markSent(db: Database, sha256: string): Promise<void> {
  return write(db, "relaxed", async (tx) => {
    const photo = await tx.objectStore("photos").get(sha256);
    if (photo) await tx.objectStore("photos").put({ ...photo, unsent: false }, sha256);
  });
}

/** Has those of these photos that are here sent again: the server's are damaged. */
export function markUnsent(db: Database, names: readonly string[]): Promise<void> {
  return write(db, "relaxed", async (tx) => {
    const photos = await Promise.all(names.map((name) => tx.objectStore("photos").get(name)));
    const here = photos.flatMap((photo) => photo ?? []);
    await Promise.all(here.map((photo) => tx.objectStore("photos").put({ ...photo, unsent: true }, photo.sha256)));
  });
}

/** Has every photo sent again: the server was restored and may lack some. Sending one that it has does no harm. */
export async function markAllUnsent(tx: Writing): Promise<void> {
  const photos = await tx.objectStore("photos").getAll();
  await Promise.all(photos.map((photo) => tx.objectStore("photos").put({ ...photo, unsent: true }, photo.sha256)));
}

/** Writes a photo; one that is here already and unsent stays unsent. */
function put(db: Database, durability: "strict" | "relaxed", photo: KeptPhoto, bytes: Bytes, most: number) {
  return write(db, durability, async (tx) => {
    const known = await tx.objectStore("photos").get(photo.sha256);
    const unsent = photo.unsent || (known?.unsent ?? false);
    await tx.objectStore("photos").put({ ...photo, unsent }, photo.sha256);
    await tx.objectStore("pictures").put(bytes, photo.sha256);
    await dropOldest(tx, most, photo.sha256);
  });
}

/** Drops the oldest photos until all together have at most `most` bytes; never an unsent one, nor the one named `but`. */
export async function dropOldest(tx: Writing, most: number, but = ""): Promise<void> {
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
