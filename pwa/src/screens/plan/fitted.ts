/** A plan's steps as this phone's own sheets have them. */
import type { Sheet, Step } from "../../wire.gen.ts";

/** A piece's letter only where the build has several; clamps that come off named like those that are put on. */
export function fitted(steps: readonly Step[], sheetOf: (build: string) => Sheet | undefined): readonly Step[] {
  return steps.map((step) => {
    const sheet = sheetOf(step.build);
    if (!sheet) return step;
    const clamps = sheet.operations.find(({ id }) => id === step.operation)?.clamps ?? {};
    return { ...step, piece: sheet.pieces.length > 1 ? step.piece : "", clamps };
  });
}
