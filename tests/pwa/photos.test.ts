import { beforeEach, expect, test } from "vitest";
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { openDB } from "idb";
import { bare } from "../../pwa/src/phone/picture.ts";
import { type Database, openDatabase, readMeta, write } from "../../pwa/src/store/database.ts";
import { refill } from "../../pwa/src/store/outbox.ts";
import { PhotoSender, type PhotosView, type Send } from "../../pwa/src/store/photo_sender.ts";
import {
  dropOldest,
  keepFetched,
  keepTaken,
  markSent,
  nameOf,
  readPhoto,
  readUnsent,
} from "../../pwa/src/store/photos.ts";
import { AWAY, refused } from "./server.ts";

const NOW = 1_800_000_000_000;
const JPEG = "image/jpeg";
let db: Database;

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  db = await openDatabase("phone", () => {});
});

const picture = (...bytes: number[]) => new Uint8Array(bytes);
const here = async () => (await db.getAllKeys("pictures")).length;

const taken = { kind: "ok", value: null } as const;

/** A sender that sends by `send`; done when it has come to rest. */
async function sent(send: Send): Promise<{ views: PhotosView[]; waits: number[] }> {
  const views: PhotosView[] = [];
  const waits: number[] = [];
  await new Promise<void>((rest) => {
    const after = (ms: number) => {
      waits.push(ms);
      rest();
      return () => {};
    };
    const alone = (work: () => Promise<void>) => work();
    new PhotoSender(db, send, alone, { after, random: () => 1 }, (view) => views.push(view)).sendNow();
  });
  return { views, waits };
}

test("a photo is named by its SHA-256", async () => {
  // FIPS 180-4, as NIST's example “abc” has it.
  const abc = new TextEncoder().encode("abc");

  expect(await nameOf(abc)).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
});

test("a phone from before there were photos keeps what it has", async () => {
  globalThis.indexedDB = new IDBFactory();
  const old = await openDB("phone", 1, {
    upgrade(was) {
      for (const shelf of ["happenings", "outbox", "builds", "meta"]) was.createObjectStore(shelf);
    },
  });
  await old.put("meta", "00000000000000a1", "device");
  old.close();
  db = await openDatabase("phone", () => {});

  expect((await readMeta(db, (bytes) => bytes)).device).toBe("00000000000000a1");
  await keepTaken(db, picture(1), JPEG, NOW);
  expect(await here()).toBe(1);
});

test("a photo taken here waits until a server has it, and is here before and after", async () => {
  const { sha256 } = await keepTaken(db, picture(1, 2, 3), JPEG, NOW);

  expect((await readUnsent(db)).map((photo) => photo.sha256)).toEqual([sha256]);

  await markSent(db, sha256);

  expect(await readUnsent(db)).toEqual([]);
  const blob = await readPhoto(db, sha256);
  expect(new Uint8Array((await blob?.arrayBuffer()) ?? [])).toEqual(picture(1, 2, 3));
});

test("another device's photo is kept to look at and never sent", async () => {
  await keepFetched(db, picture(1), JPEG, NOW);

  expect(await readUnsent(db)).toEqual([]);
  expect((await readPhoto(db, await nameOf(picture(1))))?.type).toBe(JPEG);
});

test("a photo that was taken here and met again still waits", async () => {
  await keepTaken(db, picture(1), JPEG, NOW);
  await keepFetched(db, picture(1), JPEG, NOW + 1);

  expect(await readUnsent(db)).toHaveLength(1);
});

test("the oldest that a server has goes first, and what waits never goes", async () => {
  const unsent = await keepTaken(db, picture(1, 1), JPEG, NOW);
  await keepFetched(db, picture(3, 3), JPEG, NOW + 2);
  await keepFetched(db, picture(2, 2), JPEG, NOW + 1);
  await write(db, "relaxed", (tx) => dropOldest(tx, 4));

  expect((await db.getAll("photos")).map(({ kept_ms }) => kept_ms).sort()).toEqual([NOW, NOW + 2]);

  await write(db, "relaxed", (tx) => dropOldest(tx, 0));

  expect(await db.getAllKeys("pictures")).toEqual([unsent.sha256]);
});

test("photos are given one at a time, the first taken first, and a minute goes by before the next look", async () => {
  await keepTaken(db, picture(2), JPEG, NOW + 1);
  await keepTaken(db, picture(1), JPEG, NOW);
  const given: number[] = [];
  let atOnce = 0;
  const { views, waits } = await sent(async (photo) => {
    expect(++atOnce).toBe(1);
    given.push(photo.kept_ms - NOW);
    await new Promise((resolve) => setTimeout(resolve, 1));
    atOnce--;
    return taken;
  });

  expect(given).toEqual([0, 1]);
  expect(views.map(({ waiting }) => waiting)).toEqual([2, 1, 0, 0]);
  expect(waits).toEqual([60_000]);
});

test("with the server away they wait on the phone, and are tried again soon", async () => {
  await keepTaken(db, picture(1), JPEG, NOW);
  const { views, waits } = await sent(async () => AWAY);

  expect(views.at(-1)).toEqual({ waiting: 1, sentence: "" });
  expect(waits).toEqual([1000]);
});

test("a photo that is refused is told and keeps no other back", async () => {
  const bad = await keepTaken(db, picture(1), JPEG, NOW);
  await keepTaken(db, picture(2), JPEG, NOW + 1);
  const { views } = await sent(async ({ sha256 }) => (sha256 === bad.sha256 ? refused("disk-full") : taken));

  expect(views.at(-1)).toEqual({ waiting: 1, sentence: "disk-full. Try again." });
});

test("a photo that was just fetched stays, though it is the oldest and there is no room for it", async () => {
  await keepFetched(db, picture(1), JPEG, NOW);
  const fetched = await nameOf(picture(2));
  await keepFetched(db, picture(2), JPEG, NOW - 1);
  await write(db, "strict", (tx) => dropOldest(tx, 1, fetched));

  expect(await db.getAllKeys("pictures")).toEqual([fetched]);
});

test("a sender that is stopped on the way sends no further photo", async () => {
  await keepTaken(db, picture(1), JPEG, NOW);
  await keepTaken(db, picture(2), JPEG, NOW + 1);
  const sends: string[] = [];
  await new Promise<void>((rest) => {
    const sender = new PhotoSender(
      db,
      async ({ sha256 }) => {
        sends.push(sha256);
        sender.stop();
        return taken;
      },
      async (work) => {
        await work();
        rest();
      },
      { after: () => () => {}, random: () => 1 },
      () => {},
    );
    sender.sendNow();
  });

  expect(sends).toEqual([await nameOf(picture(1))]);
});

test("a server that was restored gets every photo again", async () => {
  await keepFetched(db, picture(1), JPEG, NOW);
  await write(db, "strict", (tx) => refill(tx, 0, new Set()));

  expect(await readUnsent(db)).toHaveLength(1);
});

test("a store that fails is told, and tried again", async () => {
  db.close();
  const { views, waits } = await sent(async () => taken);

  expect(views).toEqual([{ waiting: 0, sentence: expect.stringMatching(/^This phone's store failed .* Reload the/) }]);
  expect(waits).toEqual([1000]);
});

test("a JPEG is bared of what it says about itself, and of nothing that it shows", () => {
  // ITU-T T.81, B.1.1: APP0 (JFIF), APP1 (Exif), a comment and APP14 (Adobe); then a scan that is left as it is.
  const [start, jfif, adobe] = [
    [0xff, 0xd8],
    [0xff, 0xe0, 0, 4, 7, 7],
    [0xff, 0xee, 0, 3, 9],
  ];
  const [exif, comment] = [
    [0xff, 0xe1, 0, 6, 69, 120, 105, 102],
    [0xff, 0xfe, 0, 4, 104, 105],
  ];
  const scan = [0xff, 0xda, 0, 2, 1, 2, 0xff, 0xe1, 3, 0xff, 0xd9];

  expect(bare(picture(...start, ...jfif, ...exif, ...comment, ...adobe, ...scan))).toEqual(
    picture(...start, ...jfif, ...adobe, ...scan),
  );
});
