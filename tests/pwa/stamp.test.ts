import { expect, test } from "vitest";
import { compareStamps } from "../../pwa/src/bench/book.ts";
import { bounded, laterStamp, newDevice, newId, stampAfter } from "../../pwa/src/store/stamp.ts";
import type { Stamp } from "../../pwa/src/wire.gen.ts";

const device = "00000000000000a0";

test("an id is laid out as RFC 9562 shows it", () => {
  // RFC 9562, appendix A.6: 2022-02-22 14:22:22.00 GMT-05:00, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F.
  const drawn = [0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f];

  expect(newId(1_645_557_742_000, () => Uint8Array.from(drawn))).toBe("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

test("version and variant stand whatever chance gives", () => {
  expect(newId(0, (bytes) => bytes.fill(255))).toBe("00000000-0000-7fff-bfff-ffffffffffff");
});

test("a device's name is sixteen hex digits", () => {
  expect(newDevice((bytes) => bytes.fill(10))).toBe("0a".repeat(8));
});

test("a stamp is server time when that has moved on", () => {
  expect(stampAfter({ ms: 5, counter: 3, device }, 6, device)).toEqual({ ms: 6, counter: 0, device });
});

test("and stands after the last one met when it has not", () => {
  const last = { ms: 9, counter: 3, device: "ffffffffffffffff" };
  const next = stampAfter(last, 6, device);

  expect(next).toEqual({ ms: 9, counter: 4, device });
  expect(compareStamps(next, last)).toBeGreaterThan(0);
});

test("a counter that runs over moves to the next millisecond", () => {
  expect(stampAfter({ ms: 9, counter: 65535, device }, 6, device)).toEqual({ ms: 10, counter: 0, device });
});

test("the later of two stamps is by time, counter, then device", () => {
  const a = { ms: 9, counter: 3, device };
  const later = (b: Stamp) => laterStamp(a, b, 100);

  expect(laterStamp(null, a, 100)).toBe(a);
  expect(later({ ms: 9, counter: 2, device })).toBe(a);
  expect(later({ ms: 9, counter: 3, device: "00000000000000b0" })?.device).toBe("00000000000000b0");
});

test("a stamp that is ahead of the limit is not taken over", () => {
  const [a, ahead] = [
    { ms: 9, counter: 3, device },
    { ms: 101, counter: 0, device },
  ];

  expect(laterStamp(a, ahead, 100)).toBe(a);
  expect(laterStamp(null, ahead, 100)).toBeNull();
  expect(laterStamp(a, ahead, 101)).toBe(ahead);
});

test("a phone whose own last stamp is ahead of the limit goes by the time again", () => {
  const poisoned = { ms: Number.MAX_SAFE_INTEGER, counter: 3, device };

  expect(stampAfter(bounded(poisoned, 100), 6, device)).toEqual({ ms: 6, counter: 0, device });
  expect(stampAfter(bounded({ ms: 9, counter: 3, device }, 100), 6, device)).toMatchObject({ ms: 9, counter: 4 });
});
