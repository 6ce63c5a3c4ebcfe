/**
 * A running clock as a calendar entry with alarms (RFC 5545), made here, for where there is no network.
 *
 * Twin of alerts/calendar.py, where the reasons stand: the same UID and words as in the server's feed, and a SEQUENCE
 * that a later version always exceeds, so that a calendar with both shows the clock once, as it was told last.
 */
import { CLOCKS, clockRemark, ringText } from "../bench/clock_kinds.ts";
import { moment, rings } from "../bench/clocks.ts";
import type { BuildView } from "../bench/loaded_builds.ts";
import { MINUTE_MS } from "../durations.ts";
import { iso } from "../moments.ts";
import type { Clock, Operation, Ring } from "../wire.gen.ts";
import { type Quiet, ringsAt } from "./quiet.ts";

/** What an entry says. starts, ends: seconds since 1970 UTC. alarms: each in seconds after `starts`, with a title. */
export type Entry = {
  readonly title: string;
  readonly text: string;
  readonly starts: number;
  readonly ends: number;
  readonly alarms: readonly (readonly [number, string])[];
};

/** An entry by its UID, as it was at `made`, a moment in server time, ms. */
export type Made = { readonly uid: string; readonly entry: Entry; readonly sequence: number; readonly made: number };

const DEFAULT_LENGTH_S = 15 * 60;
const LABEL_FIRST = "The glue's label, the finish's label and the tool maker's manual come first.";
const NAMESPACE_URL = "6ba7b8119dad11d180b400c04fd430c8";

/** What is needed of a build to tell of its clocks. */
export type CalendarBuild = Pick<BuildView, "id" | "name" | "sheet" | "bench">;

/** The entry of a running clock as it is at `now`, server time in ms. */
export async function madeEntry(build: CalendarBuild, clock: Clock, quiet: Quiet | null, now: number): Promise<Made> {
  const uid = await uidOf(build.id, clock.operation, clock.kind, clock.stamp);
  return { uid, entry: entryOf(build, clock, quiet, now), sequence: leastSequence(clock.started, now), made: now };
}

/** The UID of a clock's entry (RFC 9562, version 5). stamp: the ms of its start's stamp. */
export async function uidOf(build: string, operation: string, kind: string, stamp: number): Promise<string> {
  const space = NAMESPACE_URL.match(/../g)?.map((digits) => Number.parseInt(digits, 16)) ?? [];
  const name = new TextEncoder().encode(`benchbell:${build}|${operation}|${kind}|${stamp}`);
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-1", new Uint8Array([...space, ...name]))).slice(0, 16);
  hash[6] = ((hash[6] ?? 0) & 0x0f) | 0x50;
  hash[8] = ((hash[8] ?? 0) & 0x3f) | 0x80;
  const digits = [...hash].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return digits.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/** The least SEQUENCE of what is told at `now` of a clock: whole seconds since it started. */
export function leastSequence(started: number, now: number): number {
  return Math.max(0, Math.floor((now - started) / 1000));
}

/** What the entry says; acknowledged rings get no alarm. */
export function entryOf({ name, sheet, bench }: CalendarBuild, clock: Clock, quiet: Quiet | null, now: number): Entry {
  const op = sheet.operations.find(({ id }) => id === clock.operation) as Operation;
  const all = rings(clock, now);
  const shown = (clock.least === null ? all.at(-1) : all.find(({ at }) => at === clock.least)) as Ring;
  const said = ringText(clock.kind, shown.stage, op);
  const [starts, ends] = spanOf(clock);
  const heard = bench.operations[op.id]?.heard ?? [];
  const source = op.clocks.find(({ kind }) => kind === clock.kind)?.source ?? "";
  const cautions = CLOCKS[clock.kind].cautions.flatMap((id) => (op.cautions.includes(id) && sheet.cautions[id]) || []);
  const remark = clockRemark(clock);
  const lines = [said.text, ...(remark ? [remark] : []), name, `Time: ${source}.`, ...cautions, LABEL_FIRST];
  return {
    title: plain(`${said.title}: ${titleOf(op)}`),
    text: lines.map(plain).join("\n"),
    starts,
    ends,
    alarms: all
      .filter((ring) => !heard.includes(ring.name))
      .map(({ kind, stage, at }) => [
        wholeSeconds(ringsAt(quiet, kind, at)) - starts,
        plain(`${ringText(kind, stage, op).title}: ${titleOf(op)}`),
      ]),
  };
}

/** Milliseconds as whole seconds, rounded up: never early. */
function wholeSeconds(ms: number): number {
  return Math.ceil(ms / 1000);
}

function spanOf(clock: Clock): readonly [number, number] {
  const starts = wholeSeconds(clock.least ?? moment(clock));
  const window = clock.least !== null && clock.most !== null ? wholeSeconds(clock.most) : starts;
  return [starts, window > starts ? window : starts + DEFAULT_LENGTH_S];
}

function titleOf({ title, piece }: Operation): string {
  return piece ? `${title}, piece ${piece}` : title;
}

/** The text with spaces for what breaks a calendar: controls, byte order marks, surrogates. Twin of alerts/words.py. */
export function plain(text: string): string {
  return text.replace(/[\p{Cc}\p{Cs}\ufeff]/gu, " ");
}

/** The entry as an iCalendar stream of its own. */
export function calendarOf({ uid, entry, sequence, made }: Made): string {
  const changed = utc(Math.floor(made / 1000));
  const lines = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//Benchbell//Clocks//EN",
    "BEGIN:VEVENT",
    `UID:${uid}`,
    `DTSTAMP:${changed}`,
    `LAST-MODIFIED:${changed}`,
    `SEQUENCE:${sequence}`,
    `DTSTART:${utc(entry.starts)}`,
    `DTEND:${utc(entry.ends)}`,
    `SUMMARY:${escaped(entry.title)}`,
    `DESCRIPTION:${escaped(entry.text)}`,
    "STATUS:CONFIRMED",
    "TRANSP:TRANSPARENT",
    "CLASS:PRIVATE",
    ...entry.alarms.flatMap(([after, title]) => [
      "BEGIN:VALARM",
      "ACTION:DISPLAY",
      `TRIGGER:${duration(after)}`,
      `DESCRIPTION:${escaped(title)}`,
      "END:VALARM",
    ]),
    "END:VEVENT",
    "END:VCALENDAR",
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join("");
}

/** A moment in UTC (RFC 5545, 3.3.5). s: seconds since 1970. */
function utc(s: number): string {
  return iso(s * 1000).replace(/\.\d+|[-:]/g, "");
}

/** A duration in seconds, below zero for before (RFC 5545, 3.3.6). */
function duration(s: number): string {
  const size = Math.abs(s);
  const minutes = (size * 1000) / MINUTE_MS;
  return `${s < 0 ? "-" : ""}PT${Number.isInteger(minutes) && s !== 0 ? `${minutes}M` : `${size}S`}`;
}

/** A text as a value (RFC 5545, 3.3.11). */
function escaped(text: string): string {
  return text.replace(/[\\;,]/g, "\\$&").replace(/\n/g, "\\n");
}

const MOST_OCTETS = 75;

/** A line in pieces of 75 octets, each after the first begun with a space (RFC 5545, 3.1). */
function folded(line: string): string {
  const pieces = [""];
  let octets = 0;
  for (const character of line) {
    const more = new TextEncoder().encode(character).length;
    if (octets + more > MOST_OCTETS) {
      pieces.push(" ");
      octets = 1;
    }
    pieces[pieces.length - 1] += character;
    octets += more;
  }
  return pieces.join("\r\n");
}
