import { afterEach, expect, test, vi } from "vitest";
import { askToLast, readLasting } from "../../pwa/src/phone/lasting.ts";

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const browser = (storage: unknown) => vi.stubGlobal("navigator", { storage });
const folder = async () => ({});
const refuse = (name: string) => async () => {
  throw new DOMException("no", name);
};

test.each([
  ["promised", { getDirectory: folder, persisted: async () => true }],
  ["not promised", { getDirectory: folder, persisted: async () => false }],
  ["not promised", { getDirectory: folder, persisted: refuse("TypeError") }],
  ["not promised", { getDirectory: refuse("NotAllowedError"), persisted: async () => false }],
  ["private", { getDirectory: refuse("SecurityError"), persisted: async () => true }],
  ["private", { getDirectory: refuse("UnknownError") }],
  ["not promised", {}],
  ["not promised", undefined],
])("what is kept is %s: browser %#", async (wanted, storage) => {
  browser(storage);

  expect(await readLasting()).toBe(wanted);
});

test("a browser whose question nobody answers holds nothing up", async () => {
  vi.useFakeTimers();
  browser({ persist: () => new Promise(() => {}) });
  const asking = askToLast();
  await vi.advanceTimersByTimeAsync(15_000);

  await expect(asking).resolves.toBeUndefined();
});

test.each([undefined, {}, { persist: refuse("TypeError") }])(
  "one that cannot be asked is no fault: %#",
  async (storage) => {
    browser(storage);

    await expect(askToLast()).resolves.toBeUndefined();
  },
);
