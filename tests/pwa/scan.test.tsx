// @vitest-environment happy-dom
import { act } from "preact/test-utils";
import { afterEach, expect, test, vi } from "vitest";
import { path } from "../../pwa/src/live/navigation.ts";
import type { Seen } from "../../pwa/src/phone/reading.ts";
import { ticking } from "../../pwa/src/screens/operation/ticks.ts";
import {
  type Before,
  button,
  buttons,
  closePage,
  codes,
  lastRecorded,
  openPage,
  recorded,
  show,
  submit,
  tap,
  wordsAt,
  write,
} from "./page.ts";

/** What the camera sees is what a test shows it. */
const camera = vi.hoisted(() => ({ look: (_seen: readonly Seen[]) => {} }));
vi.mock("../../pwa/src/phone/camera.ts", () => ({
  WHOLE: { x: 0, y: 0, width: 1, height: 1 },
  openCamera: async (video: HTMLVideoElement) => ({ video, torch: null, stop: () => {} }),
  watch: (_camera: unknown, onSeen: (seen: readonly Seen[]) => void) => {
    camera.look = onSeen;
    return () => {};
  },
}));

const LEGS = "/b/b/o/A%2Fcut-legs";
const label = (id: string) => `https://shop.local/P/${codes[id]}`;
const shownCode = (id: string) => `${codes[id]?.slice(0, 4)}-${codes[id]?.slice(4)}`;

const ready: Before[] = [[1, { kind: "finished", operation: "rough-out" }]];
const inHand: Before[] = [...ready, [2, { kind: "began", operation: "A/cut-legs" }]];

/** Opens the scanner, in one of its modes. */
async function scanning(before: readonly Before[], mode: string): Promise<void> {
  await openPage(before, 5);
  await show("/scan");
  if (mode) await tap(mode);
}

/** Holds labels up to the camera: two looks that agree, then nothing in view until they may be taken again. */
async function hold(...texts: readonly string[]): Promise<void> {
  const seen = texts.map((text) => ({ text, corners: [] }));
  await act(async () => {
    camera.look(seen);
    camera.look(seen);
  });
}

const answers = () => wordsAt(".answers .met");

afterEach(async () => {
  ticking.value = null;
  await closePage();
});

test("a scan opens the part, whichever host its label names", async () => {
  await scanning([], "");
  await hold(label("A/leg-1"));

  expect(path.value).toBe(`/P/${codes["A/leg-1"]}`);
});

test("a scan of a part ticks it off what is in hand, and says how many are left", async () => {
  await scanning(inHand, "Tick off");
  await hold(label("A/leg-1"));
  await vi.waitFor(() => expect(answers()).toEqual(["Leg 1, piece A is through. 1 part to go."]));

  expect(lastRecorded("ticked")).toMatchObject({
    what: { operation: "A/cut-legs", part: "A/leg-1" },
    about: ["A/cut-legs", "A/leg-1"],
  });

  await hold(label("A/leg-2"));
  await vi.waitFor(() => expect(answers()[0]).toBe("Leg 2, piece A is through. That was the last of “Cut legs”."));
});

test("a part that was ticked before is not ticked again", async () => {
  await scanning([...inHand, [3, { kind: "ticked", operation: "A/cut-legs", part: "A/leg-1" }]], "Tick off");
  await hold(label("A/leg-1"));
  await vi.waitFor(() => expect(answers()).toEqual(["Leg 1, piece A was ticked off “Cut legs” before."]));

  expect(recorded()).toEqual([]);
});

test.each<[string, readonly Before[], string, string]>([
  ["a part that goes elsewhere", inHand, "A/rail", "Rail, piece A does not go through “Cut legs”. It was not ticked."],
  [
    "any part while nothing is in hand",
    ready,
    "A/leg-1",
    "Nothing is in hand, so Leg 1, piece A was not ticked. Begin an operation first.",
  ],
])("%s is not ticked, and the page says why", async (_, before, id, answer) => {
  await scanning(before, "Tick off");
  await hold(label(id));
  await vi.waitFor(() => expect(answers()).toEqual([answer]));

  expect(recorded()).toEqual([]);
});

test("the label of a spoiled part is turned down, with the code of the new one", async () => {
  await scanning(
    [...inHand, [3, { kind: "spoiled", part: "A/leg-1" }], [4, { kind: "remade", part: "A/leg-1", code: "70000000" }]],
    "Tick off",
  );
  await hold(label("A/leg-1"));
  await vi.waitFor(() =>
    expect(answers()[0]).toMatch(/^This is the label of a spoiled Leg 1, piece A\. .*7000-0000\./),
  );

  expect(recorded()).toEqual([]);
});

test("from an operation's own screen the scan ticks its parts alone", async () => {
  await openPage(inHand, 5);
  await show(LEGS);
  await tap("Tick by scanning");
  await show("/scan");

  expect(path.value).toBe("/scan");
  expect(wordsAt("h1")).toEqual(["Tick by scanning"]);
  expect(wordsAt("p.soft")).toContain("2 of 2 parts to go.");

  await hold(label("A/leg-2"));
  await vi.waitFor(() => expect(answers()).toEqual(["Leg 2, piece A is through. 1 part to go."]));
});

test("a label is taken once two looks agree, and not again while it stays in view", async () => {
  await scanning(inHand, "Tick off");
  const seen = [{ text: label("A/leg-1"), corners: [] }];
  await act(async () => camera.look(seen));

  expect(recorded()).toEqual([]);

  await act(async () => camera.look(seen));
  await act(async () => camera.look(seen));
  await vi.waitFor(() => expect(answers()).toHaveLength(1));

  expect(recorded()).toHaveLength(1);
});

test("of several labels in view a person taps one", async () => {
  await scanning(inHand, "Tick off");
  await hold(label("A/leg-1"), label("A/leg-2"));

  expect(recorded()).toEqual([]);

  await tap("Leg 2, piece A");
  await vi.waitFor(() => expect(lastRecorded("ticked").what.part).toBe("A/leg-2"));
});

test("another program's square is turned down", async () => {
  await scanning(inHand, "Tick off");
  await hold("https://example.org/");

  expect(answers()[0]).toMatch(/^This square holds “https:\/\/example\.org\/”, which is not a label of this program\./);
});

test("two parts are asked whether they meet", async () => {
  await scanning([], "Do they meet?");
  await hold(label("A/leg-1"));

  expect(answers()).toEqual(["Leg 1, piece A. Now scan what it should meet."]);

  await hold(label("A/rail"));

  expect(answers()[0]).toBe("The recipe does not say what Leg 1, piece A or Rail, piece A meets.");
});

test("a code is typed where the square cannot be read", async () => {
  await scanning(inHand, "Tick off");
  await write("Code beside the square", shownCode("A/leg-1").toLowerCase());
  await submit("Find the part");
  await vi.waitFor(() => expect(lastRecorded("ticked").what.part).toBe("A/leg-1"));
});

test("a typed code with a slip in it is not taken, and the nearest one is offered", async () => {
  await scanning(inHand, "Tick off");
  const code = codes["A/leg-1"] as string;
  await write("Code beside the square", `${code.slice(0, -1)}${code.endsWith("Z") ? "Y" : "Z"}`);
  await submit("Find the part");

  expect(wordsAt(".typed [role=alert]")[0]).toMatch(/does not add up: .* Did you mean .*?$/);
  expect(wordsAt(".typed [role=alert]")[0]).toContain(shownCode("A/leg-1"));
  expect(recorded()).toEqual([]);
});

test("leaving the scanner ends ticking for one operation", async () => {
  await openPage(inHand, 5);
  await show(LEGS);
  await tap("Tick by scanning");
  await show("/scan");
  await show("/builds");
  await show("/scan");

  expect(buttons()).toContain("Tick off");
  expect(button("Open").getAttribute("aria-pressed")).toBe("true");
});
