/**
 * Time drawn elastically, downwards: a job is at least a thumb tall and a long one longer, idle hours and nights thin.
 *
 * So a day of short jobs can be read and tapped on a phone, and a clamp that stays on through the night still shows.
 */
import { MINUTE_MS } from "../../durations.ts";

/** What the hands do in a stretch of time. */
export type StretchKind = "work" | "setting" | "free" | "closed";

/** A piece of the day, drawn from `top` down by `height`, in px. */
export type Stretch = {
  readonly from: number;
  readonly to: number;
  readonly what: StretchKind;
  readonly top: number;
  readonly height: number;
};

/** A span of time, [from, to). */
export type Span = { readonly from: number; readonly to: number };

/** least and most: px; per: px a minute between them. */
export type Sizes = Readonly<
  Record<StretchKind, { readonly least: number; readonly per: number; readonly most: number }>
>;

/** Work is never below a thumb, and setting up keeps room for a word. */
export const SCREEN: Sizes = {
  work: { least: 54, per: 0.9, most: Number.POSITIVE_INFINITY },
  setting: { least: 24, per: 0.9, most: Number.POSITIVE_INFINITY },
  free: { least: 10, per: 0.4, most: 44 },
  closed: { least: 18, per: 0.06, most: 52 },
};

/** Nobody taps on paper: a line of words each. */
export const PAPER: Sizes = { ...SCREEN, work: { ...SCREEN.work, least: 31 } };

/** StretchKind the hands do in a day, in spans; open: when they may. */
export type Busy = {
  readonly open: readonly Span[];
  readonly setting: readonly Span[];
  readonly work: readonly Span[];
};

/** The day cut wherever something begins or ends for the hands, one stretch under the other. */
export function stretchesOf(day: Span, { open, setting, work }: Busy, sizes: Sizes): readonly Stretch[] {
  const ends = [...open, ...setting, ...work].flatMap(({ from, to }) => [from, to]);
  const inside = ends.filter((ms) => ms > day.from && ms < day.to);
  const cuts = [...new Set([day.from, ...inside, day.to])].sort((a, b) => a - b);
  let top = 0;
  return cuts.slice(1).map((to, n) => {
    const from = cuts[n] ?? day.from;
    const within = (spans: readonly Span[]) => spans.some((span) => span.from <= from && to <= span.to);
    const what = within(work) ? "work" : within(setting) ? "setting" : within(open) ? "free" : "closed";
    const height = heightOf(sizes[what], (to - from) / MINUTE_MS);
    top += height;
    return { from, to, what, top: top - height, height };
  });
}

function heightOf({ least, per, most }: Sizes[StretchKind], minutes: number): number {
  return Math.round(Math.min(most, Math.max(least, minutes * per)));
}

/** How far down a moment is drawn, px; one outside the day at its nearer end. */
export function downTo(stretches: readonly Stretch[], ms: number): number {
  const last = stretches.at(-1);
  const found = stretches.find(({ to }) => ms < to) ?? last;
  if (!found) return 0;
  const share = (ms - found.from) / (found.to - found.from);
  return found.top + found.height * Math.min(1, Math.max(0, share));
}
