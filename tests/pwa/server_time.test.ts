import { beforeEach, expect, test, vi } from "vitest";

type ServerTime = typeof import("../../pwa/src/phone/server_time.ts");

let page: ServerTime;

beforeEach(async () => {
  vi.resetModules(); // a page that was just opened
  page = await import("../../pwa/src/phone/server_time.ts");
});

test("a phone that no server has told the time keeps nothing, and so takes no wrong clock for the server's", () => {
  page.checkClock();

  expect(page.timeToKeep()).toBeNull();
});

test("what an answer tells is kept", () => {
  const clocks = page.readClocks();
  page.noteServerTime({ sent: clocks, got: clocks, ms: clocks.wall - 3 * 3_600_000, base: 0 });

  expect(page.timeToKeep()?.offset).toBeCloseTo(-3 * 3_600_000, -3);
});

test("what was kept is kept on until the server answers again", () => {
  const { wall } = page.readClocks();
  page.resumeFrom({ offset: -3 * 3_600_000, wall, seen: wall - 3 * 3_600_000 });

  expect(page.timeToKeep()?.offset).toBeCloseTo(-3 * 3_600_000, -3);
});
