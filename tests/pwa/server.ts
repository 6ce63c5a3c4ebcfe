/** A server in memory that keeps to the protocol of web/sync.py, for phones in memory. */
import type { Raw } from "../../pwa/src/bench/read.ts";
import { DAY_MS } from "../../pwa/src/durations.ts";
import type { Reply } from "../../pwa/src/store/server_client.ts";
import type { SyncBody } from "../../pwa/src/store/sync.ts";
import type { EntryName, RefusalDetail, SyncAnswer } from "../../pwa/src/wire.gen.ts";

const MOST_ANSWERED = 1000;

type Row = { readonly device: string; readonly n: number; readonly raw: Raw };

export class Server {
  rows: Row[] = [];
  logEpoch = "epoch-1";
  time = 1_800_000_000_000;
  alarmsRan: number | null = null;
  answers = MOST_ANSWERED;
  base = 0;
  damaged: readonly EntryName[] = [];
  damagedPhotos: readonly string[] = [];
  healed: Raw[] = [];
  private epochs = 1;
  private hasBegunEpoch = false;

  /** One round trip, as web/sync.py does it. */
  sync({ after, log_epoch, happenings, healing = [], confirmed = 0 }: SyncBody, device: string): Reply<SyncAnswer> {
    this.healed.push(...healing);
    const refusal = this.take(happenings, device);
    if (refusal) return { kind: "refused", problem: refusal };
    const isBeyond = after > this.rows.length || confirmed > (happenings.at(-1)?.n ?? this.highest(device));
    if (log_epoch === this.logEpoch && isBeyond && !this.hasBegunEpoch) {
      this.hasBegunEpoch = true;
      this.restore(this.rows);
    }
    const from = log_epoch === "" || log_epoch === this.logEpoch ? after : 0;
    const rows = this.rows.slice(from, from + this.answers);
    const brought = new Set(happenings.map(({ id }) => id));
    return {
      kind: "ok",
      value: {
        taken_to: happenings.at(-1)?.n ?? this.highest(device),
        happenings: structuredClone(rows.filter((row) => !brought.has(row.raw.id)).map(({ raw }) => raw)),
        position: Math.max(from, from + rows.length),
        server_time: this.time,
        alarms_ran: this.alarmsRan,
        more: from + rows.length < this.rows.length,
        log_epoch: this.logEpoch,
        base: this.base,
        latest_ms: this.time + DAY_MS,
        early: happenings.filter(({ at }) => at.ms > this.time + DAY_MS).map(({ id }) => id),
        damaged: this.damaged,
        damaged_photos: this.damagedPhotos,
      },
    };
  }

  /** Starts on an earlier state of its disk, which somebody put back without a restore. */
  putBack(rows: readonly Row[]): void {
    this.rows = [...rows];
    this.hasBegunEpoch = false;
  }

  /** Goes on from an earlier day's backup. */
  restore(rows: readonly Row[]): void {
    this.rows = [...rows];
    this.epochs += 1;
    this.logEpoch = `epoch-${this.epochs}`;
  }

  get ids(): readonly string[] {
    return this.rows.map(({ raw }) => raw.id);
  }

  private highest(device: string): number {
    return this.rows.reduce((most, row) => (row.device === device ? Math.max(most, row.n) : most), 0);
  }

  private take(happenings: readonly Raw[], device: string): RefusalDetail | null {
    const before = this.highest(device);
    let taken = before;
    const fresh: Row[] = [];
    for (const raw of structuredClone(happenings)) {
      if (raw.n > taken + 1) return problem("gap", before);
      const known = this.rows.find((row) => row.device === device && row.n === raw.n);
      if (known && known.raw.id !== raw.id) return problem("two-phones", before);
      if (raw.n !== taken + 1) continue;
      if (this.ids.includes(raw.id)) return problem("two-phones", before);
      fresh.push({ device, n: raw.n, raw });
      taken += 1;
    }
    this.rows.push(...fresh);
    return null;
  }
}

/** No answer came. */
export const AWAY: Reply<never> = { kind: "away", problem: { what: "The server is away.", next_step: "Wait." } };

/** The server refuses, for this reason. */
export function refused(kind: RefusalDetail["kind"]): Reply<never> {
  return { kind: "refused", problem: problem(kind) };
}

export function problem(kind: RefusalDetail["kind"], takenTo?: number): RefusalDetail {
  return { kind, what: `${kind}.`, next_step: "Try again.", ...(takenTo === undefined ? {} : { taken_to: takenTo }) };
}
