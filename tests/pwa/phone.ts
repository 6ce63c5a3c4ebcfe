/** A phone in memory: its store, and what of the page sync needs. */
import { IDBFactory } from "fake-indexeddb";
import "fake-indexeddb/auto";
import { type BuildSummary, LoadedBuilds, summaryOf } from "../../pwa/src/bench/loaded_builds.ts";
import type { Raw } from "../../pwa/src/bench/read.ts";
import { type Database, openDatabase, readMeta, readOpen } from "../../pwa/src/store/database.ts";
import { keepRecorded } from "../../pwa/src/store/outbox.ts";
import type { Reply } from "../../pwa/src/store/server_client.ts";
import { newId } from "../../pwa/src/store/stamp.ts";
import { type Outcome, roundTrip, type SyncBody, type SyncLink } from "../../pwa/src/store/sync.ts";
import type { SyncAnswer } from "../../pwa/src/wire.gen.ts";

export type Ask = (body: SyncBody, device: string) => Reply<SyncAnswer> | Promise<Reply<SyncAnswer>>;

export class Phone implements SyncLink {
  readonly db: Database;
  readonly device: string;
  readonly loaded = new LoadedBuilds();
  readonly offered = new Set<string>();
  asked: SyncBody[] = [];
  private server: Ask;
  private chance: () => number;
  private ms = 1_700_000_000_000;

  private constructor(db: Database, device: string, server: Ask, chance: () => number) {
    this.db = db;
    this.device = device;
    this.server = server;
    this.chance = chance;
  }

  /** A phone with an empty store of its own. */
  static async fresh(server: Ask, chance: () => number = Math.random): Promise<Phone> {
    globalThis.indexedDB = new IDBFactory();
    return Phone.open("phone", server, chance);
  }

  /** A phone whose store is there already. */
  static async open(name: string, server: Ask, chance: () => number = Math.random): Promise<Phone> {
    const db = await openDatabase(name, () => {});
    const { device } = await readMeta(db, (bytes) => bytes.map(() => Math.floor(chance() * 256)));
    const phone = new Phone(db, device, server, chance);
    phone.loaded.add((await readOpen(db, phone.ms)).raws);
    return phone;
  }

  ask = async (body: SyncBody, device: string): Promise<Reply<SyncAnswer>> => {
    this.asked.push(body);
    return this.server(body, device);
  };

  fold = async (came: readonly Raw[]): Promise<readonly BuildSummary[]> => this.summaries(this.loaded.add(came));

  /** Records something at the bench, and keeps it. */
  async record(what: Raw["what"], build = "b"): Promise<Raw> {
    this.ms += 1000;
    const at = { ms: this.ms, counter: 0, device: this.device };
    const id = newId(this.ms, (bytes) => bytes.map(() => Math.floor(this.chance() * 256)));
    const raw = { id, n: 0, at, build, about: [], what };
    const [kept] = await keepRecorded(this.db, [raw], this.summaries(this.loaded.add([raw])));
    return kept as Raw;
  }

  sync(): Promise<Outcome> {
    return roundTrip(this.db, this);
  }

  /** Until there is no more to send or to fetch. */
  async syncAll(): Promise<Outcome> {
    const outcome = await this.sync();
    return outcome.kind === "done" && outcome.more ? this.syncAll() : outcome;
  }

  async ids(): Promise<readonly string[]> {
    return (await this.db.getAll("happenings")).map(({ id }) => id);
  }

  async waiting(): Promise<readonly Raw[]> {
    return this.db.getAll("outbox");
  }

  private summaries(touched: ReadonlySet<string>): readonly BuildSummary[] {
    return [...touched].flatMap((build) => {
      const view = this.loaded.view(build);
      return view ? [summaryOf(view)] : [];
    });
  }
}
