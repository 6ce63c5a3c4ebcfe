import { expect, test } from "vitest";
import { type Setting, settingsOf } from "../../pwa/src/bench/server_clock.ts";
import {
  beforeAnyAnswer,
  fromKept,
  type PhoneClocks,
  type ServerClock,
  serverTime,
  settingSentence,
  toKeep,
  withAnswer,
  withSettings,
} from "../../pwa/src/phone/time.ts";
import type { ClockSet, Happening } from "../../pwa/src/wire.gen.ts";

const HOUR = 3_600_000;
const SERVER = "0".repeat(16);

const at = (ms: number): PhoneClocks => ({ wall: ms, count: ms });

function setting(what: Omit<ClockSet, "kind">, ms = 0): readonly Setting[] {
  const h = { id: `set-${what.base}`, n: 1, build: "", about: [], at: { ms, counter: 0, device: SERVER } };
  return settingsOf([{ ...h, what: { kind: "clock-set", ...what }, when: { ms, base: what.base } } as Happening]);
}

const BACK = setting({ base: 1, since: 0, by_ms: -3 * HOUR, earlier_ms: null });

/** A phone whose clock is right and that has heard the server: its time, and how often its clock had been set. */
function heard(ms: number, serverMs: number, base = 0): ServerClock {
  return answered(beforeAnyAnswer(at(0)), ms, serverMs, base);
}

/** The same phone after an answer that takes no time. */
function answered(known: ServerClock, ms: number, serverMs: number, base: number): ServerClock {
  return withAnswer(known, { sent: at(ms), got: at(ms), ms: serverMs, base });
}

test("a phone goes over to a set server clock by what the server recorded, and blames nobody", () => {
  const known = withSettings(heard(1000, 1000 + 3 * HOUR), BACK);

  expect(serverTime(known, at(1000))).toBe(1000);
  expect(answered(known, 2000, 2000, 1).jump).toBeNull();
});

test("what the phone's own clock did beside that is still told", () => {
  const known = withSettings(heard(1000, 1000 + 3 * HOUR), BACK);

  expect(answered(known, 2000, 2000 - HOUR, 1).jump?.by).toBeGreaterThan(HOUR / 2);
});

test("it goes over once, however often it learns of it", () => {
  const known = withSettings(withSettings(heard(1000, 1000 + 3 * HOUR), BACK), BACK);

  expect(serverTime(known, at(1000))).toBe(1000);
});

test("an answer from before a setting that is known here is of no use", () => {
  const known = withSettings(heard(1000, 1000 + 3 * HOUR), BACK);

  expect(answered(known, 2000, 2000 + 3 * HOUR, 0)).toBe(known);
});

test("where a boot of the server explains what differs, the phone's clock is not blamed", () => {
  const known = answered(heard(1000, 1000), 2000, 2000 - 2 * HOUR, 1);

  expect(known.jump).toBeNull();
  expect(serverTime(known, at(2000))).toBe(2000 - 2 * HOUR);
});

test("a page that was closed meanwhile goes over when it is opened", () => {
  const kept = toKeep(heard(1000, 1000 + 3 * HOUR), at(1000));

  expect(serverTime(withSettings(fromKept(at(2000), kept), BACK), at(2000))).toBeLessThanOrEqual(2000);
  expect(serverTime(withSettings(fromKept(at(2000), kept), BACK), at(2000))).toBeGreaterThan(1990);
});

test("after a start of the server that nobody can measure, the next answer is taken without blame", () => {
  const unsure = setting({ base: 2, since: 1, by_ms: -2 * HOUR, earlier_ms: -2 * HOUR });
  const known = withSettings(heard(1000, 1000), unsure);
  const then = answered(known, 2000, 2000 - HOUR, 2);

  expect(serverTime(then, at(2000))).toBe(2000 - HOUR);
  expect(then.jump).toBeNull();
});

test("only the server says how its clock was set", () => {
  const h = { id: "a", n: 1, build: "", about: [], at: { ms: 1, counter: 0, device: "a".repeat(16) } };
  const what = { kind: "clock-set", base: 1, since: 0, by_ms: HOUR } as const;

  expect(settingsOf([{ ...h, what }])).toEqual([]);
});

test("whose clock was wrong is told in words", () => {
  const ten = new Date(2026, 2, 5, 10, 2).getTime();

  expect(settingSentence({ kind: "clock-set", base: 1, since: 0, by_ms: 2 * HOUR }, ten)).toBe(
    "The server's clock was 2 h behind until 10:02. What runs was not disturbed by that.",
  );
  expect(settingSentence({ kind: "clock-set", base: 1, since: 0, by_ms: -3 * HOUR }, ten)).toContain("3 h ahead until");
  expect(settingSentence({ kind: "clock-set", base: 1, since: 1, by_ms: -HOUR, earlier_ms: -HOUR }, ten)).toBe(
    "The server's clock was set back by 1 h at 10:02, and for how long the server was off before is not known: " +
      "what runs may end later than shown. Look at another clock.",
  );
});
