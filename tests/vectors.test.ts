import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { type Answer, answerTo } from "./asks.ts";

type Case = {
  readonly rule: string;
  readonly ask: string;
  readonly given: readonly unknown[];
  readonly within?: number;
};

const folder = new URL("vectors/", import.meta.url);

for (const file of readdirSync(folder).filter((name) => name.endsWith(".json"))) {
  const cases: readonly (Case & Answer)[] = JSON.parse(readFileSync(new URL(file, folder), "utf-8"));
  test.each(cases)(`${file}: $rule`, async (wanted) => {
    const answer = await answerTo(wanted.ask, wanted.given);

    if (wanted.within === undefined) expect(JSON.parse(JSON.stringify(answer))).toEqual(outcome(wanted));
    else expect(Math.abs(figure(answer) - figure(wanted))).toBeLessThanOrEqual(wanted.within);
  });
}

/** What a case wants, without its question. */
function outcome(wanted: Answer): Answer {
  return "answer" in wanted ? { answer: wanted.answer } : { refused: wanted.refused };
}

/** The number in an answer; NaN, which is close to nothing, when it is none. */
function figure(answer: Answer): number {
  return "answer" in answer ? Number(answer.answer) : Number.NaN;
}
