import { afterEach, beforeEach, expect, test, vi } from "vitest";
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { photosWaiting, startPhotos, takePhoto } from "../../pwa/src/live/photos.ts";
import { type Database, openDatabase } from "../../pwa/src/store/database.ts";
import { keepTaken } from "../../pwa/src/store/photos.ts";

/** The picture that is being made smaller: done, or not to be done. */
const picture = vi.hoisted(() => ({ resolve: (_: Uint8Array<ArrayBuffer>) => {}, reject: (_: Error) => {} }));

vi.mock("../../pwa/src/phone/picture.ts", () => ({
  TYPE: "image/jpeg",
  smaller: () => new Promise((resolve, reject) => Object.assign(picture, { resolve, reject })),
}));

let db: Database;

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  vi.stubGlobal("navigator", {});
  vi.stubGlobal("fetch", () => Promise.reject(new TypeError("away")));
  db = await openDatabase("phone", () => {});
});

afterEach(() => vi.unstubAllGlobals());

/** The page is open and has counted; the server is away. */
async function open(): Promise<void> {
  const settled = new Promise<void>((resolve) => {
    const after = () => {
      resolve();
      return () => {};
    };
    startPhotos(db, "a".repeat(16), { random: () => 0, after });
  });
  await settled;
}

const waiting = () => photosWaiting.value.waiting;

test("photos that wait are counted as the page opens, with the server away", async () => {
  await keepTaken(db, new Uint8Array([1]), "image/jpeg", 1);
  await open();

  expect(waiting()).toBe(1);
});

test("a photo waits from the moment it is taken", async () => {
  await open();
  const taking = takePhoto(new Blob());
  expect(waiting()).toBe(1);

  picture.resolve(new Uint8Array([2]));
  await taking;
  expect(waiting()).toBe(1);
});

test("one that cannot be taken waits no longer", async () => {
  await open();
  const taking = takePhoto(new Blob());
  picture.reject(new Error("no picture"));

  await expect(taking).rejects.toThrow("no picture");
  expect(waiting()).toBe(0);
});
