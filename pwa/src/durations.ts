/** Durations in whole milliseconds, the unit of every moment and span in the shop. */
export const SECOND_MS = 1_000;
export const MINUTE_MS = 60 * SECOND_MS;
export const HOUR_MS = 60 * MINUTE_MS;
export const DAY_MS = 24 * HOUR_MS;

/** 9999-01-01 in UTC: the latest moment that is shown. A wrong clock may have stamped anything. */
export const LATEST_MS = 253_370_764_800_000;
