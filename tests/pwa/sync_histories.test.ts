/** Phones and a server through random days: lost questions and answers, restores, pairings. Nothing lost or doubled. */
import { expect, test } from "vitest";
import type { Reply } from "../../pwa/src/store/server_client.ts";
import type { SyncBody } from "../../pwa/src/store/sync.ts";
import type { SyncAnswer } from "../../pwa/src/wire.gen.ts";
import { Phone } from "./phone.ts";
import { AWAY, Server } from "./server.ts";

/** How many random days: HISTORIES=2000 npx vitest run sync_histories. */
const DAYS = Number(process.env.HISTORIES ?? 40);
const STEPS = 40;

/** A number from 0 up to 1 after the other, the same for the same seed (mulberry32). */
function chanceOf(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

class Day {
  readonly server = new Server();
  readonly phones: { phone: Phone; name: string }[] = [];
  readonly recorded = new Set<string>();
  readonly chance: () => number;
  backup = [...this.server.rows];
  isCalm = false;

  constructor(seed: number) {
    this.chance = chanceOf(seed);
    this.server.answers = 1 + Math.floor(this.chance() * 6);
  }

  async begin(count: number): Promise<void> {
    await Phone.fresh(() => AWAY);
    for (let n = 0; n < count; n++) {
      const entry = { name: `${n}`.repeat(16) } as { phone: Phone; name: string };
      entry.phone = await Phone.open(`phone-${n}`, (body) => this.network(body, entry.name), this.chance);
      this.phones.push(entry);
    }
  }

  /** The question or its answer is lost now and then. */
  private network(body: SyncBody, name: string): Reply<SyncAnswer> {
    if (!this.isCalm && this.chance() < 0.2) return AWAY;
    const reply = this.server.sync(body, name);
    return !this.isCalm && this.chance() < 0.2 ? AWAY : reply;
  }

  async step(): Promise<void> {
    const entry = this.phones[Math.floor(this.chance() * this.phones.length)];
    if (!entry) return;
    const die = this.chance();
    if (die < 0.5) this.recorded.add((await entry.phone.record({ kind: "noted", text: `${die}` } as never)).id);
    else if (die < 0.85) await entry.phone.sync();
    else if (die < 0.9) this.backup = [...this.server.rows];
    else if (die < 0.94) this.server.restore(this.backup);
    else if (die < 0.97) entry.name = `${Math.floor(this.chance() * 1e16)}`.padStart(16, "0");
  }

  /** The network holds until nobody has anything to send or to fetch. */
  async settle(): Promise<void> {
    this.isCalm = true;
    for (let round = 0; round < 6; round++) for (const { phone } of this.phones) await phone.syncAll();
  }
}

test.each(Array.from({ length: DAYS }, (_, seed) => seed))("day %i", { timeout: 20_000 }, async (seed) => {
  const day = new Day(seed);
  await day.begin(1 + (seed % 4));
  for (let n = 0; n < STEPS; n++) await day.step();
  await day.settle();
  const all = [...day.recorded].sort();

  expect([...day.server.ids].sort()).toEqual(all);
  for (const { phone } of day.phones) {
    expect([...(await phone.ids())].sort()).toEqual(all);
    expect(await phone.waiting()).toEqual([]);
  }
});
