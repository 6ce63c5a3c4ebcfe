/** Folds a history in the browser and takes the time; asked by phone_fold.py. */
import { clocks, ringing } from "../../pwa/src/bench/clocks.ts";
import { type BuildView, LoadedBuilds } from "../../pwa/src/bench/loaded_builds.ts";
import { adviceFor } from "../../pwa/src/bench/next.ts";
import type { Raw } from "../../pwa/src/bench/read.ts";
import { partMm, type Sizes, setValues, sizesOf } from "../../pwa/src/bench/sizes.ts";
import type { Sheet } from "../../pwa/src/wire.gen.ts";

type Times = { readonly many: number; readonly next: readonly number[]; readonly answer: readonly number[] };

/** All but the last `more` at once, then those one by one; ms. */
export function measure(history: readonly Raw[], more: number): Times {
  const loaded = new LoadedBuilds();
  const many = timed(() => {
    loaded.add(history.slice(0, -more));
    loaded.view("long");
  });
  const last = history.slice(-more);
  const half = last.length / 2;
  const next = last.slice(0, half).map((raw) => timed(() => viewWith(loaded, raw)));
  const answer = last.slice(half).map((raw) => timed(() => answered(viewWith(loaded, raw), raw.at.ms)));
  return { many, next, answer };
}

/** One size measured, and every size, part and setup value of all pieces reckoned anew; ms. */
export function resized(sheet: Sheet, size: string, times: number): readonly number[] {
  return Array.from({ length: times }, (_, n) => {
    const value = 300 + n / 10;
    const built = { [`A|${size}`]: { value, ms: n, device: "", others: [] } };
    return timed(() => sheet.pieces.map((piece) => ofPiece(sheet, sizesOf(sheet, built, piece), piece)));
  });
}

function ofPiece(sheet: Sheet, sizes: Sizes, piece: string): unknown {
  const parts = sheet.parts.filter((part) => part.piece === piece).map((part) => partMm(part, sizes));
  return [parts, sheet.setups.map((setup) => setValues(setup, sizes))];
}

function viewWith(loaded: LoadedBuilds, raw: Raw): BuildView {
  loaded.add([raw]);
  return loaded.view("long") as BuildView;
}

function answered(view: BuildView, now: number): unknown {
  const running = clocks(view.sheet, view.bench, [], now).map((clock) => ({ ...clock, build: view.id }));
  return [ringing(view.bench, running, now), adviceFor([view], running, now)];
}

function timed(work: () => unknown): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}
