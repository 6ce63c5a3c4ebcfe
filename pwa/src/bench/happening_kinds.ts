/** The kinds of happenings: the table that the server has too. Its fields are described in bench/happening_kinds.py. */
import { HAPPENING_KINDS } from "../tables.gen.ts";
import type { HappeningRow } from "../wire.gen.ts";

export type HappeningKind = keyof typeof HAPPENING_KINDS;

/** Kinds that an operation's main button records. */
export type Step = {
  [K in HappeningKind]: (typeof HAPPENING_KINDS)[K]["is_step"] extends true ? K : never;
}[HappeningKind];

export const HAPPENINGS: Readonly<Record<HappeningKind, Required<HappeningRow>>> = HAPPENING_KINDS;

const KINDS = Object.keys(HAPPENINGS) as HappeningKind[];

/** Kinds that mark how far an operation is, in the order in which they may make each other void. */
export const MARKS: readonly HappeningKind[] = KINDS.filter((kind) => HAPPENINGS[kind].is_mark);

/** The steps of an operation, in the order of the work. */
export const STEPS: readonly Step[] = KINDS.filter((kind): kind is Step => HAPPENINGS[kind].is_step);
