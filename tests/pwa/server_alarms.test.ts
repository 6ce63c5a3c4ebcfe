import { beforeEach, expect, test, vi } from "vitest";
import { aloneSince } from "../../pwa/src/alerts/heartbeat.ts";
import { aloneWords } from "../../pwa/src/screens/words/alone.ts";

const AWAKE = 0;

test("a phone that no server ever told of its alarms says nothing of them", () => {
  expect(aloneSince(0, AWAKE, 1e12)).toBeNull();
});

test("three quarters of a minute after the last round only this phone rings, since that round", () => {
  expect(aloneSince(1_000_000, AWAKE, 1_045_000)).toBeNull();
  expect(aloneSince(1_000_000, AWAKE, 1_045_001)).toBe(1_000_000);
});

test("a page that slept asks first", () => {
  expect(aloneSince(1_000_000, 9_000_000, 9_005_000)).toBeNull();
  expect(aloneSince(1_000_000, 9_000_000, 9_005_001)).toBe(1_000_000);
});

const TEN_PAST_TWO = new Date(2026, 2, 5, 14, 10).getTime();

test.each([
  ["away", "Since 14:10 only this phone rings."],
  ["unpaired", "Since 14:10 only this phone rings."],
  [
    "synced",
    "Since 14:10 only this phone rings: the server's alarms stand still. Start the server again; its log says why.",
  ],
] as const)("it is said in words where sync is %s", (state, words) => {
  expect(aloneWords(TEN_PAST_TWO, state, TEN_PAST_TWO + 60_000)).toBe(words);
});

test("nothing is said while the server rings", () => {
  expect(aloneWords(null, "away", 0)).toBe("");
});

type Alarms = typeof import("../../pwa/src/live/server_alarms.ts");
type State = typeof import("../../pwa/src/live/state.ts");

let alarms: Alarms;
let state: State;

beforeEach(async () => {
  vi.resetModules();
  alarms = await import("../../pwa/src/live/server_alarms.ts");
  state = await import("../../pwa/src/live/state.ts");
  alarms.awakeSince.value = 0;
});

/** Alone since when, so many ms from now. */
function aloneIn(ms: number): number | null {
  state.now.value = Date.now() + ms;
  return alarms.alone.value;
}

test("a server whose alarms have not run since it was started does not count as one that rang", () => {
  const before = Date.now() - 600_000;
  alarms.noteAlarms(before);
  alarms.noteAlarms(null);

  expect(aloneIn(0)).toBe(before);
});

test("where nothing was known, that counts from the first answer on", () => {
  alarms.noteAlarms(null);

  expect(aloneIn(40_000)).toBeNull();
  expect(aloneIn(50_000)).toBeGreaterThan(Date.now() - 10_000);
});

test("a round that is told ends it", () => {
  alarms.noteAlarms(Date.now() - 600_000);
  alarms.noteAlarms(Date.now());

  expect(aloneIn(0)).toBeNull();
});
