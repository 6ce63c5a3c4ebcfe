/** What both planners know of a problem besides its types, which come with the rules from the server's structs. */

/**
 * What a plan is judged by, compared in this order, less is better: overrun, late, day, finish and craft together,
 * changes; see `Plan`. The day comes first, so that no fault of craft avoided ever costs a day.
 */
export type Objective = readonly [overrun: number, late: number, day: number, cost: number, changes: number];

/** Minutes: a window that opens so long after the last one closed, or longer, begins another day. */
export const NIGHT = 240;

/** What the kind of a fixture begins with, in the clamps of a problem and the kind of a hold; all others are clamps. */
export const FIXTURE = "fixture ";
