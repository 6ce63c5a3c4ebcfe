/** What stands where across a drawn day, in px: the times, the hands, then a narrow track for each station and kind of clamp. */
import type { Day } from "./days.ts";

/** A track and where it stands, px from the left. */
export type Track = { readonly name: string; readonly of: "station" | "clamps"; readonly x: number };
/** Widths and places in px. head: how high the names above the tracks stand. */
export type Columns = {
  readonly width: number;
  readonly head: number;
  readonly hands: { readonly x: number; readonly width: number };
  readonly track: number;
  readonly tracks: readonly Track[];
};

const TIMES = 48;
const GAP = 6;
/** What a job's words want. */
const HANDS = 184;
const TRACK = { least: 12, most: 24 };
/** Of a letter in a track's name, written upwards. */
const LETTER = 7.2;
const MOST_HEAD = 116;

/** A track's name, cut where it would be longer than the head. */
export function headOf(name: string): string {
  const room = Math.floor((MOST_HEAD - 14) / LETTER);
  return name.length > room ? `${name.slice(0, room - 1).trimEnd()}…` : name;
}

/** Hands take what the tracks leave them, and never less than words need. */
export function columnsOf({ stations, clamps }: Day, width: number): Columns {
  const names = [
    ...[...stations.keys()].map((name) => ({ name, of: "station" as const })),
    ...[...clamps.keys()].map((name) => ({ name, of: "clamps" as const })),
  ];
  const room = (width - TIMES - GAP - HANDS) / Math.max(1, names.length);
  const track = Math.min(TRACK.most, Math.max(TRACK.least, room));
  const left = width - track * names.length;
  return {
    width,
    head: Math.min(MOST_HEAD, Math.max(24, ...names.map(({ name }) => name.length * LETTER + 14))),
    hands: { x: TIMES, width: left - TIMES - (names.length ? GAP : 0) },
    track,
    tracks: names.map((one, n) => ({ ...one, x: left + track * n })),
  };
}
