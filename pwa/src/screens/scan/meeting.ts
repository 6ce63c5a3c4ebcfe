/** Whether two parts that were scanned meet, as a sentence. */

import type { Bearer } from "../../bench/loaded_builds.ts";
import { type Joint, type Meeting, meetingOf } from "../../bench/mates.ts";
import type { Sheet } from "../../wire.gen.ts";
import { fullTitle, titleOf } from "../words/names.ts";
import type { ScanAnswer } from "./resolve_label.ts";

const yes = (sentence: string): ScanAnswer => ({ good: true, sentence });
const no = (sentence: string): ScanAnswer => ({ good: false, sentence });
const so = (sentence: string): ScanAnswer => ({ good: null, sentence });

/** Whether two scanned parts meet: yes, no, or that the recipe does not say. */
export function meetingAnswer(one: Bearer, other: Bearer): ScanAnswer {
  if (one.view.id !== other.view.id) {
    return no(`No. ${fullTitle(one.view.sheet, one.id)} is of ${one.view.name}, the other of ${other.view.name}.`);
  }
  const { sheet } = one.view;
  return inWords(sheet, meetingOf(sheet, one.id, other.id), fullTitle(sheet, one.id), fullTitle(sheet, other.id));
}

function inWords(sheet: Sheet, meeting: Meeting, one: string, other: string): ScanAnswer {
  switch (meeting.kind) {
    case "same":
      return so(`That is ${one} again. Scan what it should meet.`);
    case "inside":
      return so(`One is joined in the other: ${titleOf(sheet, meeting.whole)} holds both.`);
    case "meet":
      return yes(`Yes. ${meeting.joints.map((joint) => jointInWords(sheet, joint)).join(" ")}`);
    case "other piece":
      return no(`No: ${one} and ${other}. In one piece they would meet, but these are of two.`);
    case "apart":
      return no(
        `No. ${one} and ${other} do not meet. ${meeting.joints.map((joint) => jointInWords(sheet, joint)).join(" ")}`,
      );
    case "not in the recipe":
      return so(`The recipe does not say what ${one} or ${other} meets.`);
  }
}

/** `Leg 1, top mortise, meets End rail 1, front tenon.` */
function jointInWords(sheet: Sheet, { part, end, to, at }: Joint): string {
  const side = (id: string, where: string | undefined) => [titleOf(sheet, id), where].filter(Boolean).join(", ");
  return `${side(part, end)}${end ? "," : ""} meets ${side(to, at)}.`;
}
