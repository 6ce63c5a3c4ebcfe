/** What is written down of a build's stations: set up in what, or taken down. Twin of bench/stations.py. */
import type { Sheet, Standing } from "../wire.gen.ts";
import { type Book, compareStamps, compareText } from "./book.ts";

/** By station, the setup it was last put in, unless that was broken since. */
export function standing(book: Book, sheet: Sheet): Readonly<Record<string, Standing>> {
  return Object.fromEntries(
    stationsOf(sheet).flatMap((station) => {
      const up = book.latest("set-up", station);
      const broken = book.latest("setup-broken", station);
      if (!up || (broken && compareStamps(up.at, broken.at) <= 0)) return [];
      const { setup, values = {}, proved = false } = up.what;
      return [[station, { setup, values, proved, ms: book.moment(up).ms }]];
    }),
  );
}

/** By station, when its setup was taken down, unless it was set up since. */
export function takenDown(book: Book, sheet: Sheet): Readonly<Record<string, number>> {
  return Object.fromEntries(
    stationsOf(sheet).flatMap((station) => {
      const up = book.latest("set-up", station);
      const broken = book.latest("setup-broken", station);
      return broken && !(up && compareStamps(up.at, broken.at) > 0) ? [[station, book.moment(broken).ms]] : [];
    }),
  );
}

/** The stations that have setups, in order. */
function stationsOf(sheet: Sheet): readonly string[] {
  return [...new Set(sheet.setups.map((setup) => setup.station))].sort(compareText);
}
