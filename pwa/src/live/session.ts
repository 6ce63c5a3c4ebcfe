/**
 * The phone's store while the page is open: which device this is, the books at hand, and the recorder.
 *
 * What is recorded shows at once, is then written to the phone, and is then sent. What the server answers is shown
 * before it is written down.
 */
import { batch } from "@preact/signals";
import {
  type Bearer,
  type BuildSummary,
  type BuildView,
  bearerOf,
  byAge,
  isNeeded,
  LoadedBuilds,
  SHOP,
  summaryOf,
} from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import { DAY_MS } from "../durations.ts";
import { noteServerTime, noteSettings, readClocks, resumeFrom, serverNow } from "../phone/server_time.ts";
import type { Heard, KeptTime } from "../phone/time.ts";
import { type Database, type Meta, type Opened, readBuild, readKept, readMeta, readOpen } from "../store/database.ts";
import { Recorder } from "../store/recorder.ts";
import type { World } from "../store/retry.ts";
import type { SyncView } from "../store/sender.ts";
import { ask, type Question, type Reply } from "../store/server_client.ts";
import { bounded, laterStamp, stampAfter } from "../store/stamp.ts";
import { readAnswer, type SyncBody } from "../store/sync.ts";
import { type Memory, writeBack } from "../store/write_back.ts";
import type { Happening, Stamp, SyncAnswer } from "../wire.gen.ts";
import { noteAlarms } from "./server_alarms.ts";
import { keepAgain, recallAll } from "./signals.ts";
import {
  builds,
  clockSettings,
  findCode,
  hadBefore,
  now,
  ownDevice,
  shop,
  summaries,
  syncedAt,
  syncing,
} from "./state.ts";
import { keepTime } from "./ticking.ts";

/** One open store, with the books at hand. What it shows are the signals of state.ts. */
export class Session {
  readonly db: Database;
  readonly device: string;
  readonly recorder: Recorder;
  private readonly loaded = new LoadedBuilds();
  private readonly lookedAt = new Set<string>();
  private latest: Stamp | null;
  private latestMs = 0;
  private answeredAt = 0;
  private isNew: boolean;
  private heard: { readonly came: SyncAnswer["happenings"]; readonly time: Heard } | null = null;

  constructor(
    db: Database,
    { device, stamp, n }: Meta,
    { summaries: kept, raws }: Opened,
    outbox: readonly Raw[],
    world: World,
  ) {
    this.db = db;
    this.device = device;
    ownDevice.value = device;
    this.latest = stamp;
    this.isNew = n === 0;
    this.recorder = new Recorder(db, this, world, outbox);
    summaries.value = [...kept].sort(byAge);
    this.show(raws);
  }

  /** Whether the build's book is in memory. */
  has(build: string): boolean {
    return this.loaded.has(build);
  }

  /** Reads a build's book from the phone unless it is in memory; an empty one for a build that is not known here. */
  async load(build: string): Promise<void> {
    if (!this.loaded.has(build)) this.loaded.add(await readBuild(this.db, build));
  }

  /** A build of any age, which then stays at hand; null for one that this phone does not know. */
  async openBuild(id: string): Promise<BuildView | null> {
    await this.load(id);
    this.lookedAt.add(id);
    if (this.loaded.view(id) && !builds.value.some((view) => view.id === id)) this.update(new Set([id]));
    return this.loaded.view(id);
  }

  /** A happening of a build whose book is in memory. */
  find(build: string, happening: string): Happening | undefined {
    return this.loaded.find(build, happening);
  }

  /** A stamp for what is recorded now, later than all that this phone has made or met. */
  nextStamp(): Stamp {
    this.latest = stampAfter(bounded(this.latest, this.limit()), serverNow(), this.device);
    return this.latest;
  }

  /** The latest stamp, ms, that is taken over from others: a day ahead of the server, as far as that is known here. */
  private limit(): number {
    return Math.max(this.latestMs, serverNow() + DAY_MS);
  }

  /** Takes happenings into the books and shows what changed; gives the builds that they touched. */
  show(raws: readonly Raw[]): ReadonlySet<string> {
    return batch(() => {
      const touched = this.loaded.add(raws);
      noteSettings(this.loaded.clockSettings());
      this.update(touched);
      return touched;
    });
  }

  /** Shows what the server or another tab brought; gives the summaries of the builds that it touched. */
  async fold(came: readonly Raw[]): Promise<readonly BuildSummary[]> {
    for (const build of new Set(came.map((raw) => raw.build))) await this.load(build);
    for (const { at } of came) this.latest = laterStamp(this.latest, at, this.limit());
    const time = this.heard?.came === came ? this.heard.time : null;
    const changed = batch(() => {
      const touched = this.show(came);
      if (time) noteServerTime(time);
      now.value = serverNow();
      return summariesOf(touched);
    });
    if (time) await keepTime(this.db);
    return changed;
  }

  /** The summaries of the builds that these happenings are about. */
  summaries(raws: readonly Raw[]): readonly BuildSummary[] {
    return summariesOf(new Set(raws.map(({ build }) => build)));
  }

  /** Writes down again what is in memory where the browser has emptied the store; gives whether it has. */
  async writeBack(): Promise<boolean> {
    const { device, latest, recorder } = this;
    const memory: Memory = {
      ...{ device, stamp: latest, unsent: recorder.unsent },
      happenings: this.loaded.raws(),
      summaries: summaries.value,
    };
    const wasEmptied = await writeBack(this.db, memory);
    if (wasEmptied) await Promise.all([keepTime(this.db), keepAgain(this.db)]);
    return wasEmptied;
  }

  /** Takes in when the server last saw to its alarms. */
  noteAlarms(ran: number | null): void {
    noteAlarms(ran);
  }

  /** Shows how sync stands. */
  tell(view: SyncView): void {
    syncing.value = view;
    if (view.state !== "synced") return;
    syncedAt.value = this.answeredAt;
    this.dropFinished();
  }

  /** One round trip with the server, whose answer also sets this phone's idea of the server's time once it is folded. */
  async ask(body: SyncBody, device: string): Promise<Reply<SyncAnswer>> {
    const sent = readClocks();
    const reply = await ask<SyncAnswer>(device, "/sync", { body, read: readAnswer });
    if (reply.kind !== "ok") return reply;
    const { happenings: came, more, server_time: ms, base } = reply.value;
    this.latestMs = reply.value.latest_ms ?? 0;
    this.answeredAt = ms;
    if (this.isNew && reply.value.taken_to > 0) hadBefore.value = true;
    this.isNew = false;
    // With more to come this phone may lack that the server's clock was set: its time is not to be gone by yet.
    if (!more) this.heard = { came, time: { sent, got: readClocks(), ms, base } };
    return reply;
  }

  /** Brings the signals up to date with the books of these builds. */
  private update(touched: ReadonlySet<string>): void {
    if (touched.has(SHOP)) {
      shop.value = this.loaded.shop();
      clockSettings.value = this.loaded.clockSettings();
    }
    const views = [...touched].flatMap((build) => this.loaded.view(build) ?? []);
    if (views.length === 0) return;
    const changed = views.map(summaryOf);
    summaries.value = [...summaries.value.filter(({ id }) => !touched.has(id)), ...changed].sort(byAge);
    const needed = new Set(changed.filter(isNeeded).map(({ id }) => id));
    const atHand = new Set([...this.lookedAt, ...builds.value.map(({ id }) => id)]);
    const shown = views.filter(({ id }) => needed.has(id) || atHand.has(id));
    const order = new Map(summaries.value.map(({ id }, n) => [id, n]));
    const all = [...builds.value.filter(({ id }) => !touched.has(id)), ...shown];
    builds.value = all.sort((a, b) => (order.get(a.id) ?? 0) - (order.get(b.id) ?? 0));
  }

  /** Drops from memory the books of builds that are not at hand. */
  private dropFinished(): void {
    const atHand = new Set(builds.value.map(({ id }) => id));
    for (const { id } of summaries.value) if (!atHand.has(id)) this.loaded.drop(id);
  }
}

function summariesOf(touched: ReadonlySet<string>): readonly BuildSummary[] {
  return summaries.value.filter(({ id }) => touched.has(id));
}

let current: Session | null = null;

/** Reads what the phone keeps and shows it. Rejects when the store cannot be read or written. */
export async function openSession(db: Database, world: World): Promise<Session> {
  const [meta, time, outbox] = await Promise.all([
    readMeta(db, randomBytes),
    readKept(db, "time"),
    db.getAll("outbox"),
    recallAll(db),
  ]);
  if (time) resumeFrom(time as KeptTime);
  now.value = serverNow(); // before anything shows: by this phone's own clock a ring might be early
  current = new Session(db, meta, await readOpen(db, serverNow()), outbox, world);
  return current;
}

/** Fills the array with random bytes, and gives it back. */
export function randomBytes(bytes: Uint8Array<ArrayBuffer>): Uint8Array {
  return crypto.getRandomValues(bytes);
}

/** The open session; null until the phone's store is open. */
export function session(): Session | null {
  return current;
}

/** The name under which the server knows this device; "" until the phone's store is open. */
export function deviceId(): string {
  return current?.device ?? "";
}

/** Asks the server as this device. Never rejects. */
export function askServer<T>(path: string, question?: Question<T>): Promise<Reply<T>> {
  return ask(deviceId(), path, question);
}

/** A build of any age, which then stays at hand; null for one that this phone does not know. */
export async function openBuild(id: string): Promise<BuildView | null> {
  return (await current?.openBuild(id)) ?? null;
}

/** The part or assembly that has this label, in finished builds too; null when none has it. */
export async function findOldCode(code: string): Promise<Bearer | null> {
  const found = findCode(code);
  const summary = summaries.value.find(({ labels }) => labels.includes(code));
  if (found || !summary) return found;
  const build = await openBuild(summary.id);
  return build && bearerOf([build], code);
}
