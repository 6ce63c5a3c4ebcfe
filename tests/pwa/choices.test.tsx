// @vitest-environment happy-dom
import { render } from "preact";
import { expect, test, vi } from "vitest";
import { type Answers, Choices, ofPieces, toSend } from "../../pwa/src/screens/builds/choices.tsx";
import type { Choice } from "../../pwa/src/wire.gen.ts";

const WIDTH: Choice = {
  name: "width",
  ask: "How wide?",
  kind: "size",
  value: "18 in",
  dim: "length",
  least: "16 in",
  most: "20 in",
  step: "1/2 in",
};
const DRAWERS: Choice = { name: "drawers", ask: "How many drawers?", kind: "count", value: "2", least: "1", most: "3" };
const WAXED: Choice = { name: "waxed", ask: "Waxed?", kind: "yes-no", value: "yes" };
const WOOD: Choice = { name: "wood", ask: "Which wood?", kind: "one-of", value: "ash", among: ["ash", "oak"] };
const ALL = [WIDTH, DRAWERS, WAXED, WOOD];

function shown(answers: Answers, pieces = 1): { place: HTMLElement; given: () => Answers | undefined } {
  const place = document.createElement("div");
  const onAnswers = vi.fn<(answers: Answers) => void>();
  render(<Choices choices={ALL} pieces={pieces} answers={answers} onAnswers={onAnswers} />, place);
  return { place, given: () => onAnswers.mock.lastCall?.[0] };
}

function tap(place: HTMLElement, words: string): void {
  const found = [...place.querySelectorAll("button")].find(
    (one) => one.textContent === words || one.getAttribute("aria-label") === words,
  );
  found?.click();
}

test("each choice asks its question, with its default and what it allows", () => {
  const { place } = shown({});

  for (const { ask } of ALL) expect(place.textContent).toContain(ask);
  expect(place.querySelector<HTMLInputElement>("input[type=text]")?.value).toBe("18 in");
  expect(place.textContent).toContain("16 in to 20 in, in steps of 1/2 in.");
  expect(place.querySelector<HTMLInputElement>("input[type=checkbox]")?.checked).toBe(true);
});

test("a count goes up and down, and not beyond its bounds", () => {
  const { place, given } = shown({ drawers: "3" });
  tap(place, "+ more");
  expect(given()).toBeUndefined();

  tap(place, "− fewer");
  expect(given()).toEqual({ drawers: "2" });
});

test("a piece that differs begins with the answers for all, for its sizes and woods", () => {
  const { place, given } = shown({ width: "19 in" }, 2);
  tap(place, "Piece B differs");

  expect(given()).toEqual({ width: "19 in", "B.width": "19 in", "B.wood": "ash" });
});

test("a piece that no longer differs loses its answers", () => {
  const { place, given } = shown({ width: "19 in", "B.width": "20 in", "A.wood": "oak" }, 2);
  tap(place, "Piece B differs");

  expect(given()).toEqual({ width: "19 in", "A.wood": "oak" });
});

test("with fewer pieces the answers of those that are gone go", () => {
  expect(ofPieces({ width: "19 in", "A.wood": "oak", "C.wood": "oak" }, 2)).toEqual({
    width: "19 in",
    "A.wood": "oak",
  });
});

test("a bare number for a length is sent with the recipe's unit, and nothing else is changed", () => {
  const answers = { width: "19 1/2", "B.width": "480 mm", drawers: "3", wood: "oak" };

  expect(toSend(answers, ALL, "in")).toEqual({ ...answers, width: "19 1/2 in" });
});
