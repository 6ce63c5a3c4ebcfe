/** Ids and stamps of what is recorded here. Time and chance are arguments. */
import { compareStamps } from "../bench/book.ts";
import type { Stamp } from "../wire.gen.ts";

/** Fills the array with random bytes, and gives it back. */
export type RandomBytes = (bytes: Uint8Array<ArrayBuffer>) => Uint8Array;

const MOST_COUNTER = 0xffff;

/**
 * A stamp later than `last`, the latest this phone has made or met, and no earlier than `now`.
 *
 * now: server time in whole ms. So what is recorded after something was seen stands after it, on every device.
 */
export function stampAfter(last: Stamp | null, now: number, device: string): Stamp {
  if (!last || now > last.ms) return { ms: now, counter: 0, device };
  if (last.counter < MOST_COUNTER) return { ms: last.ms, counter: last.counter + 1, device };
  return { ms: last.ms + 1, counter: 0, device };
}

/** The later of two stamps; `a` where `b` is ahead of `latestMs`, so that a wrong clock elsewhere drags no phone along. */
export function laterStamp(a: Stamp | null, b: Stamp, latestMs: number): Stamp | null {
  return b.ms > latestMs || (a && compareStamps(a, b) >= 0) ? a : b;
}

/** The stamp; null where it is ahead of `latestMs`: it says nothing, and stamps go by the time again. */
export function bounded(stamp: Stamp | null, latestMs: number): Stamp | null {
  return stamp && stamp.ms > latestMs ? null : stamp;
}

/** A UUIDv7 (RFC 9562, 5.7): 48 bits of time in ms, 74 bits of chance. */
export function newId(ms: number, random: RandomBytes): string {
  const bytes = random(new Uint8Array(16));
  for (let place = 0; place < 6; place++) bytes[place] = Math.floor(ms / 256 ** (5 - place)) % 256;
  bytes[6] = 0x70 | ((bytes[6] ?? 0) & 0x0f);
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  return hex(bytes).replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/** A device's own name: 16 hex digits. */
export function newDevice(random: RandomBytes): string {
  return hex(random(new Uint8Array(8)));
}

/** Bytes as hex digits, two each, in lower case. */
export function hex(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
