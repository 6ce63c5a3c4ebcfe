import { expect, test } from "vitest";
import {
  beforeAnyAnswer,
  fromKept,
  jumpSentence,
  type PhoneClocks,
  type ServerClock,
  serverTime,
  toKeep,
  withAnswer,
  withReading,
} from "../../pwa/src/phone/time.ts";

const MINUTE = 60_000;

/** A phone whose clock is off by so much, `ms` after the page was opened; the truth is `ms` too. */
const at = (ms: number, off = 0): PhoneClocks => ({ wall: ms + off, count: ms });

/** Asks the server at `ms`; the answer is read `up` ms later and here after `down` more. */
function asked(known: ServerClock, ms: number, up: number, down: number, off = 0): ServerClock {
  return withAnswer(known, { sent: at(ms, off), got: at(ms + up + down, off), ms: ms + up, base: known.base });
}

test("before the server was heard the phone's clock is taken at its word", () => {
  expect(serverTime(beforeAnyAnswer(at(0)), at(1000))).toBe(1000);
});

test("a phone with a wrong clock tells server time once it has heard the server", () => {
  const known = asked(beforeAnyAnswer(at(0, 90 * MINUTE)), 1000, 0, 0, 90 * MINUTE);

  expect(serverTime(known, at(2000, 90 * MINUTE))).toBe(1999);
});

test("server time is late by the way back at most, and never early", () => {
  for (const [up, down] of [
    [10, 10],
    [0, 5000],
    [5000, 0],
  ] as const) {
    const known = asked(beforeAnyAnswer(at(0)), 1000, up, down);
    const time = serverTime(known, at(20_000));

    expect(time).toBeLessThanOrEqual(20_000);
    expect(time).toBeGreaterThanOrEqual(20_000 - down - 2);
  }
});

test("a quick answer is kept over a slow one that comes later", () => {
  const quick = asked(beforeAnyAnswer(at(0)), 1000, 5, 5);
  const slow = asked(quick, 2000, 100, 900);

  expect(slow.sample).toBe(quick.sample);
  expect(slow.jump).toBeNull();
});

test("an answer that tells more is taken", () => {
  const known = asked(asked(beforeAnyAnswer(at(0)), 1000, 100, 900), 3000, 5, 5);

  expect(serverTime(known, at(4000))).toBeGreaterThanOrEqual(3994);
});

test("a sample loses with age, so that a phone whose clock runs fast never tells too much", () => {
  const known = asked(beforeAnyAnswer(at(0)), 0, 0, 0);
  const day = 24 * 60 * MINUTE;
  const fast = { wall: day * (1 + 50e-6), count: day };

  expect(serverTime(known, fast)).toBeLessThanOrEqual(day);
});

test("a clock set back is noticed, and time goes on", () => {
  const known = withReading(asked(beforeAnyAnswer(at(0)), 0, 0, 0), at(60_000, -42 * MINUTE), true);

  expect(known.jump).toEqual({ by: -42 * MINUTE, at: 59_994 });
  expect(serverTime(known, at(61_000, -42 * MINUTE))).toBe(60_993);
});

test("so is one set back while the page was out of sight", () => {
  expect(withReading(beforeAnyAnswer(at(0)), at(60_000, -42 * MINUTE), false).jump?.by).toBe(-42 * MINUTE);
});

test("a clock set forward while the page was in sight is noticed, and nothing rings early", () => {
  const known = withReading(beforeAnyAnswer(at(0)), at(1000, 42 * MINUTE), true);

  expect(known.jump).toEqual({ by: 42 * MINUTE, at: 999 });
  expect(serverTime(known, at(2000, 42 * MINUTE))).toBe(1999);
});

test("a phone that slept has gone on in time", () => {
  const asleep = { wall: 42 * MINUTE, count: 1000 };
  const known = withReading(beforeAnyAnswer(at(0)), asleep, false);

  expect(known.jump).toBeNull();
  expect(serverTime(known, asleep)).toBe(42 * MINUTE);
});

test("what looked like sleep and was a clock set forward is told by the server's next answer", () => {
  const off = 42 * MINUTE;
  const known = asked(withReading(asked(beforeAnyAnswer(at(0)), 0, 5, 5), at(60_000, off), false), 61_000, 5, 5, off);

  expect(Math.round((known.jump?.by ?? 0) / 1000)).toBe(42 * 60);
  expect(serverTime(known, at(62_000, off))).toBeLessThanOrEqual(62_000);
  expect(serverTime(known, at(62_000, off))).toBeGreaterThan(61_980);
});

test("timers that come a second late are no jump", () => {
  expect(withReading(beforeAnyAnswer(at(0)), at(60_000, 1400), true).jump).toBeNull();
});

test("a clock that was set back while the page was closed goes on from what was seen", () => {
  const kept = toKeep(beforeAnyAnswer(at(0)), at(90 * MINUTE));
  const known = fromKept({ wall: 20 * MINUTE, count: 0 }, kept);

  expect(serverTime(known, { wall: 20 * MINUTE, count: 0 })).toBe(90 * MINUTE);
  expect(known.jump?.at).toBe(90 * MINUTE);
});

test("a page opened again goes on with the server's time it knew", () => {
  const kept = toKeep(asked(beforeAnyAnswer(at(0, 1000)), 0, 0, 0, 1000), at(MINUTE, 1000));
  const known = fromKept({ wall: 2 * MINUTE + 1000, count: 0 }, kept);
  const told = serverTime(known, { wall: 2 * MINUTE + 1000, count: 0 });

  expect(told).toBeLessThanOrEqual(2 * MINUTE);
  expect(told).toBeGreaterThan(2 * MINUTE - 20);
  expect(known.jump).toBeNull();
});

test("the first answer after opening replaces what was kept, without a word", () => {
  const known = asked(fromKept(at(0, 5 * MINUTE), { offset: 0, wall: 0, seen: 0 }), 1000, 5, 5, 5 * MINUTE);

  expect(known.jump).toBeNull();
  expect(serverTime(known, at(2000, 5 * MINUTE))).toBeLessThanOrEqual(2000);
});

test("through a random day of sleep, jumps back and answers, no moment is told early", () => {
  let state = 7;
  const chance = () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
  let [truth, count, off] = [0, 0, 30 * MINUTE];
  const here = (): PhoneClocks => ({ wall: truth + off, count });
  let known = beforeAnyAnswer(here());
  known = withAnswer(known, { sent: here(), got: here(), ms: truth, base: 0 });
  for (let n = 0; n < 5000; n++) {
    const [ms, isAsleep] = [chance() * 10_000, chance() < 0.1];
    truth += isAsleep ? ms * 300 : ms;
    count += ms;
    const die = chance();
    if (die < 0.02) off -= chance() * 60 * MINUTE;
    else if (die < 0.04 && !isAsleep) off += chance() * 60 * MINUTE;
    known = withReading(known, here(), !isAsleep);
    if (chance() < 0.05) {
      const sent = here();
      const serverMs = truth + chance() * 2000;
      truth += 3000;
      count += 3000;
      known = withAnswer(withReading(known, here(), true), { sent, got: here(), ms: serverMs, base: 0 });
    }

    expect(serverTime(known, here())).toBeLessThanOrEqual(truth + 1500);
  }
});

test("a jump is told in words", () => {
  const words = jumpSentence({ by: -42 * MINUTE, at: new Date(2026, 2, 5, 14, 10).getTime() }, true);

  expect(words).toBe("This phone's clock jumped back by 42 min at 14:10. Everything here goes by the server's clock.");
});

test("and what it means until the server is heard", () => {
  const words = jumpSentence({ by: 9000, at: new Date(2026, 2, 5, 14, 10).getTime() }, false);

  expect(words).toBe(
    "This phone's clock jumped forward by 9 s at 14:10. Until the server answers, a ring may come late.",
  );
});
