/** A pseudorandom generator that gives the same numbers on every machine: xorshift32 (Marsaglia 2003, from memory). */

/** A stream of whole numbers determined by its seed, any whole number within ±(2^53 - 1). */
export class Random {
  private state: number;

  constructor(seed: number) {
    // The last 32 bits of the product, as imul takes those of the seed; from state 0, xorshift gives nothing but 0.
    this.state = (Math.imul(seed, 2654435761) + 1) >>> 0 || 1;
  }

  /** One of 0 … count - 1; count at least 1. */
  below(count: number): number {
    let x = this.state;
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    this.state = x >>> 0;
    return this.state % count;
  }

  /** One of -spread … spread. */
  around(spread: number): number {
    return this.below(2 * spread + 1) - spread;
  }

  /** One of these; there must be at least one. */
  oneOf<Thing>(things: readonly Thing[]): Thing {
    return things[this.below(things.length)] as Thing;
  }
}
