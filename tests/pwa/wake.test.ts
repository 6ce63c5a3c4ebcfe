// @vitest-environment happy-dom
import { afterEach, expect, test, vi } from "vitest";
import { canKeepAwake, keepAwake, wasRefused } from "../../pwa/src/phone/wake.ts";

afterEach(() => {
  keepAwake(false);
  vi.unstubAllGlobals();
});

/** A phone that answers so when it is to keep its screen on. */
function phone(answer: () => Promise<unknown>): void {
  vi.stubGlobal("navigator", { wakeLock: { request: answer } });
}

const lock = async () => ({ addEventListener: () => {}, release: async () => {} });

test("a phone that refuses is known as one, until it keeps its screen on again", async () => {
  phone(() => Promise.reject(new DOMException("the battery is low", "NotAllowedError")));
  keepAwake(true);
  await vi.waitFor(() => expect(wasRefused()).toBe(true));

  expect(canKeepAwake()).toBe(true);
  keepAwake(false);
  phone(lock);
  keepAwake(true);
  await vi.waitFor(() => expect(wasRefused()).toBe(false));
});
