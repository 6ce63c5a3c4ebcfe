import { afterEach, beforeEach, expect, test, vi } from "vitest";

type ServerTime = typeof import("../../pwa/src/phone/server_time.ts");

let page: ServerTime;

beforeEach(async () => {
  vi.resetModules(); // a page that was just opened
  page = await import("../../pwa/src/phone/server_time.ts");
});

afterEach(() => {
  vi.useRealTimers();
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

test("a jump of the phone's clock is shown until the server has answered, and a quarter of an hour from the jump", () => {
  vi.useFakeTimers({ toFake: ["Date", "performance"] });
  const answer = () => {
    page.checkClock();
    const clocks = page.readClocks();
    page.noteServerTime({ sent: clocks, got: clocks, ms: page.serverNow(), base: 0 });
  };
  answer();
  vi.advanceTimersByTime(1000);
  vi.setSystemTime(Date.now() + 3 * 3_600_000);
  page.checkClock();
  vi.advanceTimersByTime(60 * 60_000);
  const unanswered = page.jumpWarning();
  answer();
  const answered = page.jumpWarning();
  vi.setSystemTime(Date.now() - 2 * 3_600_000);
  answer();
  vi.advanceTimersByTime(14 * 60_000);
  const lately = page.jumpWarning();
  vi.advanceTimersByTime(2 * 60_000);

  expect(unanswered).toContain("clock jumped forward by 3 h");
  expect(answered).toBeNull();
  expect(lately).toContain("clock jumped back by 2 h");
  expect(page.jumpWarning()).toBeNull();
});
