/** What concerns the whole shop: its settings and the air at the bench. Twin of bench/shop.py. */
import type { ShopState } from "../wire.gen.ts";
import type { Book } from "./book.ts";

/** What the happenings of the build "" tell. */
export function shopOf(book: Book): ShopState {
  const names = [...book.bySlot.keys()].filter((slot) => slot.startsWith("kept|")).map((slot) => slot.slice(5));
  const kept = names.flatMap((name) => book.latest("kept", name)?.what ?? []);
  return {
    settings: Object.fromEntries(kept.map(({ setting, value }) => [setting, value])),
    readings: book
      .all("conditions")
      .map((h) => ({ ms: book.moment(h).ms, celsius: h.what.celsius, humidity: h.what.humidity ?? null }))
      .sort((a, b) => a.ms - b.ms),
  };
}

/** How many the shop has counted of each clamp or fixture, by name. */
export function countsIn(
  { settings }: Pick<ShopState, "settings">,
  setting: "clamps" | "fixtures",
): Readonly<Record<string, number>> {
  const kept = settings[setting];
  return kept && typeof kept === "object" ? (kept as Record<string, number>) : {};
}
