/** The changes of a what-if, and what can be changed in this shop. */
import { hoursOf } from "../../phone/shop_hours.ts";
import type { PresentedPlan, Sheet, WhatIf } from "../../wire.gen.ts";

/** clamps: by kind, how many more. glue: by glue, which instead; itself for none. hours: as typed. */
export type Changes = {
  readonly clamps: Readonly<Record<string, number>>;
  readonly glue: Readonly<Record<string, string>>;
  readonly hours: string;
  readonly saturday: boolean;
  readonly hands: number;
};

/** The shop as it is. */
export const UNCHANGED: Changes = { clamps: {}, glue: {}, hours: "", saturday: false, hands: 1 };

/** The changes as the server reads them: only what differs from now. */
export function whatIfOf({ clamps, glue, hours, saturday, hands }: Changes): WhatIf {
  const some = <Value>(from: Readonly<Record<string, Value>>, isChange: (key: string, value: Value) => boolean) =>
    Object.fromEntries(Object.entries(from).filter(([key, value]) => isChange(key, value)));
  return {
    clamps: some(clamps, (_kind, more) => more !== 0),
    glue: some(glue, (from, to) => from !== to),
    hours: hoursOf(hours) ?? "",
    saturday,
    hands,
  };
}

/** Whether anything differs from now. */
export function isAnother({ clamps = {}, glue = {}, hours, saturday, hands }: WhatIf): boolean {
  const named = Object.keys(clamps).length + Object.keys(glue).length;
  return named > 0 || Boolean(hours) || Boolean(saturday) || hands !== 1;
}

/** Kinds of clamps that were counted, by name; and those that the plan takes uncounted, of which none are short. */
export function kindsOf(
  plan: PresentedPlan,
  owned: unknown,
): { readonly counted: string[]; readonly uncounted: string[] } {
  const wall = owned && typeof owned === "object" ? Object.keys(owned) : [];
  const taken = new Set(plan.steps.flatMap(({ clamps }) => Object.keys(clamps)));
  return { counted: wall.sort(), uncounted: [...taken].filter((kind) => !wall.includes(kind)).sort() };
}

/** Glues of what is still to be glued. */
export function gluesOf(plan: PresentedPlan, sheetOf: (build: string) => Sheet | undefined): readonly string[] {
  const used = plan.steps.flatMap(({ build, operation, act }) => {
    const found = sheetOf(build)?.operations.find(({ id }) => id === operation);
    return act === "work" && found?.glue ? [found.glue] : [];
  });
  return [...new Set(used)].sort();
}
