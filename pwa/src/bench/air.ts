/** The air at the bench, and how long a clock takes in it. Twin of bench/air.py, where the reasons stand. */
import { HOUR_MS } from "../durations.ts";
import type { ClockSpec, FigureGrid, OperationState, Reading, Sheet } from "../wire.gen.ts";

/** Percent, taken for granted where only the temperature was read. */
const USUAL_HUMIDITY = 50;

/** A reading older than this, before the glue went on, is not to be trusted. */
const STALE = 12 * HOUR_MS;

type Air = { readonly celsius: number | null; readonly humidity: number | null };
const UNKNOWN: Air = { celsius: null, humidity: null };
type Reckoned = Air & { readonly ms: number; readonly too_cold: boolean; readonly old_reading: boolean };

/** Whether a reading is too old to go by for what starts at `started`, server time in ms. */
export function isOld({ ms }: Reading, started: number): boolean {
  return ms < started - STALE;
}

/** Whether the clock tells when one may go on, rather than by when one must. */
export function isWait(spec: ClockSpec): boolean {
  return spec.least_ms !== null;
}

/**
 * The clock's time by the air from its start until now, or until it was over: later air changes nothing.
 *
 * The first reading after the start takes the place of an old one.
 */
export function reckoned(
  figures: Sheet["figures"],
  spec: ClockSpec,
  state: OperationState,
  started: number,
  readings: readonly Reading[],
  now: number,
): Reckoned {
  let [air, old_reading] = airAtStart(state, readings, started);
  old_reading &&= Boolean(gridRows(figures, spec));
  let [ms, too_cold] = timeOf(figures, spec, air);
  if (old_reading) ms = (isWait(spec) ? Math.max : Math.min)(ms, planned(spec));
  for (const reading of readings.slice(countUpTo(readings, started), countUpTo(readings, now))) {
    if (reading.ms >= started + ms && !(too_cold && isWait(spec))) break;
    air = worseAir(spec, old_reading ? UNKNOWN : air, reading);
    old_reading = false;
    [ms, too_cold] = timeOf(figures, spec, air);
  }
  return { ms, too_cold, old_reading, ...air };
}

/** How many of the readings were taken at `ms` or before. */
function countUpTo(readings: readonly Reading[], ms: number): number {
  let [low, high] = [0, readings.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((readings[middle]?.ms ?? 0) <= ms) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * What was read when the glue or coat went on, else the last reading before the clock started; whether it is old.
 *
 * An old reading adds nothing to what was read as the glue went on.
 */
function airAtStart(
  { celsius = null, humidity = null }: OperationState,
  readings: readonly Reading[],
  started: number,
): [Air, boolean] {
  const last = readings[countUpTo(readings, started) - 1];
  const old = last !== undefined && isOld(last, started);
  if (celsius !== null && old) return [{ celsius, humidity }, false];
  return [{ celsius: celsius ?? last?.celsius ?? null, humidity: humidity ?? last?.humidity ?? null }, old];
}

/** For a wait the colder and the damper of both, for a deadline the warmer and the drier. */
function worseAir(spec: ClockSpec, air: Air, { celsius, humidity }: Reading): Air {
  const [colder, damper] = isWait(spec) ? [Math.min, Math.max] : [Math.max, Math.min];
  return {
    celsius: air.celsius === null ? celsius : colder(air.celsius, celsius),
    humidity:
      air.humidity === null || humidity === null || humidity === undefined
        ? (air.humidity ?? humidity ?? null)
        : damper(air.humidity, humidity),
  };
}

/**
 * The clock's time in ms, and whether it was too cold for that to prove anything.
 *
 * The planned figure where it does not depend on the air, or no reading was taken.
 */
function timeOf(figures: Sheet["figures"], spec: ClockSpec, { celsius, humidity }: Air): [number, boolean] {
  const grid = figures[spec.glue ?? ""];
  const rows = gridRows(figures, spec);
  if (!grid || !rows || celsius === null) return [planned(spec), false];
  const row = rowOf(rows, (isWait(spec) ? Math.floor : Math.ceil)(celsius) - grid.celsius_from);
  return row ? [row[columnOf(grid, humidity)] || planned(spec), false] : [planned(spec), true];
}

/** The clock's time as planned, in ms. */
function planned(spec: ClockSpec): number {
  return spec.least_ms ?? spec.most_ms ?? 0;
}

/** The clock's figures by temperature and humidity; null where its time does not depend on the air. */
function gridRows(figures: Sheet["figures"], spec: ClockSpec): FigureGrid["open_ms"] | null {
  return (spec.figure && figures[spec.glue ?? ""]?.[`${spec.figure}_ms`]) || null;
}

/** The grid's column for this air; that of usual air where nobody read it. */
function columnOf(grid: FigureGrid, humidity: number | null): number {
  const found = grid.bands.findIndex((edge) => (humidity ?? USUAL_HUMIDITY) <= edge);
  return found < 0 ? grid.bands.length - 1 : found;
}

/** A row of the grid; null where it is too cold. Hotter than the grid goes is taken as its last row. */
function rowOf(rows: FigureGrid["open_ms"], number: number): readonly (number | null)[] | null {
  const row = number < 0 ? undefined : rows[Math.min(number, rows.length - 1)];
  return row && row[0] !== null ? row : null;
}
