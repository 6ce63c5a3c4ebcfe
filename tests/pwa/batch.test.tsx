// @vitest-environment happy-dom
import { act } from "preact/test-utils";
import { afterEach, expect, test, vi } from "vitest";
import type { What } from "../../pwa/src/bench/book.ts";
import { path } from "../../pwa/src/live/navigation.ts";
import { session } from "../../pwa/src/live/session.ts";
import { builds } from "../../pwa/src/live/state.ts";
import { ticking, tickScanned } from "../../pwa/src/screens/operation/ticks.ts";
import { batchPath } from "../../pwa/src/screens/paths.ts";
import {
  type Before,
  button,
  closePage,
  codes,
  dialog,
  MINUTE,
  openPage,
  recorded,
  START,
  show,
  started,
  submit,
  tap,
  wordsAt,
} from "./page.ts";

const batch = (...operations: string[]) => batchPath(operations.map((operation) => ({ build: "b", operation })));
const LEGS = batch("A/cut-legs", "B/cut-legs");
const OIL = batch("A/oil-1", "B/oil-1");
const GLUE = batch("A/glue", "B/glue");

const of = (minutes: number, kind: string, ...operations: string[]): Before[] =>
  operations.map((operation) => [minutes, { kind, operation } as What]);
const done = (...operations: string[]): Before[] => of(1, "finished", ...operations);

const ready = done("rough-out");
const inHand = [...ready, ...of(2, "began", "A/cut-legs", "B/cut-legs")];
const cut = done("rough-out", "A/cut-legs", "A/cut-rail", "B/cut-legs", "B/cut-rail");
const flushed = [...cut, ...done("A/glue", "B/glue", "A/flush", "B/flush")];

const said = () => recorded().map(({ what }) => what);
const main = () => wordsAt(".deeds .main");
const hint = () => wordsAt(".deeds .hint");
const pressed = (on: boolean) => wordsAt(`.tick[aria-pressed=${on}]`);

let other = 0;

/** What another phone did, or what another build is begun with, as it comes with a sync. */
async function comes(what: What, build = "b"): Promise<void> {
  other += 1;
  const at = { ms: START + 30 * MINUTE, counter: other, device: "0".repeat(15) + (build === "b" ? "7" : "8") };
  await act(() => void session()?.show([{ id: `other-${other}`, n: other, at, build, about: [], what }]));
}

/** The group of one piece: its head with the count and the button for all. */
const head = (n: number) => document.querySelectorAll(".piece-head")[n] as HTMLElement;

afterEach(async () => {
  ticking.value = null;
  await closePage();
});

test("the Bench has the pieces of an operation in one line, which leads to them all", async () => {
  await openPage(ready, 2);
  await show("/");

  expect(wordsAt(".first-choice strong")).toEqual(["Piece APiece B Cut legs"]);
  expect(wordsAt(".first-choice .state")).toEqual(["Ready · 4 parts, about 20 min"]);
  expect(document.querySelector(".first-choice")?.getAttribute("href")).toBe(LEGS);
});

test("an operation offers to be taken up with that of the other pieces that are ready", async () => {
  await openPage(ready, 2);
  await show("/b/b/o/B%2Fcut-legs");

  expect(button("Take A and B together").getAttribute("href")).toBe(LEGS);

  await show("/b/b/o/rough-out");

  expect(wordsAt("a.button")).not.toContain("Take A and B together");
});

test("one tap begins all, and the log has each piece's own", async () => {
  await openPage(ready, 2);
  await show(LEGS);

  expect(wordsAt(".top .over")).toEqual(["A and B · mitre saw"]);

  await tap("Begin");

  expect(said()).toEqual([
    { kind: "began", operation: "A/cut-legs" },
    { kind: "began", operation: "B/cut-legs" },
  ]);
  expect(recorded().map(({ about }) => about)).toEqual([
    ["A/cut-legs", "A/leg-1", "A/leg-2"],
    ["B/cut-legs", "B/leg-1", "B/leg-2"],
  ]);
  expect(main()).toEqual(["Finish"]);
  expect(hint()).toEqual(["Still open: A 2 parts; B 2 parts."]);
});

test("parts are ticked part by part across pieces, or all of one piece at once", async () => {
  await openPage(inHand, 3);
  await show(LEGS);
  const [, , third] = document.querySelectorAll<HTMLElement>(".tick");
  await act(() => third?.click());

  expect(wordsAt(".block h2 .figure")).toContain("1 of 4 through");
  expect(said()).toEqual([{ kind: "ticked", operation: "B/cut-legs", part: "B/leg-1" }]);

  await tap("All 2", head(0));
  await vi.waitFor(() => expect(pressed(true)).toHaveLength(3));

  expect(wordsAt(".piece-head .figure")).toEqual(["2 of 2", "1 of 2"]);
});

test("finish ends those that are all ticked, and what is left stays in hand", async () => {
  const ticked: Before[] = ["A/leg-1", "A/leg-2", "B/leg-1"].map((part) => [
    3,
    { kind: "ticked", operation: `${part[0]}/cut-legs`, part },
  ]);
  await openPage([...inHand, ...ticked], 4);
  await show(LEGS);

  expect(main()).toEqual(["Finish A"]);
  expect(hint()).toEqual(["Still open: B 1 part."]);

  await tap("Finish A");

  expect(said()).toEqual([{ kind: "finished", operation: "A/cut-legs", reason: "" }]);
  expect(wordsAt(".status-line strong")).toEqual(["A: Done, B: In hand"]);
  expect(main()).toEqual(["Finish B"]);
});

test("where something is left in all of them, finish shows it, and keeps the reason for those alone", async () => {
  await openPage(inHand, 3);
  await show(LEGS);
  await tap("Finish");

  expect(wordsAt("dialog[open] h3")).toEqual(["Piece A", "Piece B", "Or finish as it is"]);

  for (const tick of [...dialog().querySelectorAll<HTMLElement>(".tick")].slice(0, 2)) await act(() => tick.click());
  await tap("Done, not ticked", dialog());
  await submit("Finish as it is");

  expect(said().filter((what) => what?.kind === "finished")).toEqual([
    { kind: "finished", operation: "A/cut-legs", reason: "" },
    { kind: "finished", operation: "B/cut-legs", reason: "Done, not ticked" },
  ]);
  expect(wordsAt("dialog[open]")).toEqual([]);
  expect(main()).toEqual(["Next: Cut rail, A and B"]);
});

test("the setup is written down once for the build, about all that it is set for", async () => {
  await openPage(ready, 2);
  await show(LEGS);
  await tap("Write down as set");
  await submit("Keep as set");

  expect(recorded()).toHaveLength(1);
  expect(recorded()[0]?.about).toEqual(["A/cut-legs", "B/cut-legs", "splay-cut", "mitre saw"]);
});

test("undo takes back what the last tap recorded, of all its pieces", async () => {
  await openPage(ready, 2);
  await show(LEGS);
  await tap("Begin");

  expect(wordsAt(".block p.soft").at(-1)).toMatch(/Began: Cut legs, piece B. The same for A.$/);

  await tap("Undo last");

  expect(wordsAt(".status-line strong")).toEqual(["Ready"]);
  expect(main()).toEqual(["Begin"]);
});

test("undo takes back one tick alone", async () => {
  await openPage(inHand, 3);
  await show(LEGS);
  const [first, , third] = document.querySelectorAll<HTMLElement>(".tick");
  await act(() => first?.click());
  await act(() => third?.click());
  await tap("Undo last");

  expect(wordsAt(".piece-head .figure")).toEqual(["1 of 2", "0 of 2"]);
});

test("what another phone ticks, finishes or takes up alone shows here, and is not done twice", async () => {
  await openPage(inHand, 31);
  await show(LEGS);
  await comes({ kind: "ticked", operation: "B/cut-legs", part: "B/leg-2" });

  expect(pressed(true)).toHaveLength(1);

  await comes({ kind: "finished", operation: "B/cut-legs", reason: "" });

  expect(wordsAt(".status-line strong")).toEqual(["A: In hand, B: Done"]);

  await tap("All 2", head(0));
  await vi.waitFor(() => expect(wordsAt(".piece-head .figure")).toEqual(["2 of 2", "2 of 2"]));
  await tap("Finish A");

  expect(said().filter((what) => what?.kind === "finished" && what.operation === "B/cut-legs")).toHaveLength(1);
  expect(hint()).toEqual(["This is done."]);
});

test("one piece can be taken alone, and begun with the other later", async () => {
  await openPage([...ready, ...of(2, "began", "A/cut-legs")], 3);
  await show(LEGS);

  expect(button("Only A").getAttribute("href")).toBe("/b/b/o/A%2Fcut-legs");
  expect(main()).toEqual(["Finish A"]);

  await tap("Begin B too");

  expect(said()).toEqual([{ kind: "began", operation: "B/cut-legs" }]);
  expect(main()).toEqual(["Finish"]);
});

test("a scan ticks the right piece's part, and counts what is left of all", async () => {
  await openPage(inHand, 3);
  await show(LEGS);
  await tap("Tick by scanning");

  expect(path.value).toBe("/scan");

  await show("/scan");

  expect(wordsAt(".top .over")).toEqual(["Cut legs, A and B"]);

  const [view] = builds.value;
  const answer = view && (await tickScanned({ view, id: "B/leg-2", old: false }));

  expect(answer).toEqual({ good: true, sentence: "Leg 2, piece B is through. 3 parts to go." });
  expect(said()).toEqual([{ kind: "ticked", operation: "B/cut-legs", part: "B/leg-2" }]);
});

test("each coat goes on by itself, for each has clocks of its own", async () => {
  await openPage([...flushed, ...of(2, "began", "A/oil-1", "B/oil-1")], 3);
  await show(OIL);

  expect(main()).toEqual(["Coat on A"]);

  await tap("Coat on A");

  expect(said().map((what) => what && "operation" in what && what.operation)).toEqual(["A/oil-1"]);
  expect(main()).toEqual(["Coat on B"]);

  await tap("Coat on B");

  expect(main()).toEqual(["Wiped off A"]);
  expect(wordsAt(".clock-group .group-way")).toEqual(["Piece A Oil 1", "Piece B Oil 1"]);
});

test("what speaks against one piece holds that one alone", async () => {
  await openPage([...done("rough-out"), [1, { kind: "spoiled", part: "B/leg-1" }]], 2);
  await show(LEGS);
  await tap("Begin A");

  expect(said()).toEqual([{ kind: "began", operation: "A/cut-legs" }]);

  await show(GLUE);

  expect(wordsAt(".deeds a")).toEqual(["To A", "To B"]);
  expect(hint()[0]).toMatch(/^A: Waits for: Cut legs\./);
});

test("of two builds each log has its own, the setup too, and how much of the time is the other's", async () => {
  await openPage(ready, 31);
  await comes({ ...started, codes, name: "Second" } as never, "c");
  await comes({ kind: "finished", operation: "rough-out", reason: "" }, "c");
  await show(
    batchPath([
      { build: "b", operation: "A/cut-legs" },
      { build: "b", operation: "B/cut-legs" },
      { build: "c", operation: "A/cut-legs" },
    ]),
  );

  expect(wordsAt(".alone a")).toEqual(["Only Two stands A", "Only Two stands B", "Only Second A"]);

  await tap("Write down as set");
  await submit("Keep as set");
  await tap("Begin");
  const own = (build: string, kind: string) => {
    const view = builds.value.find(({ id }) => id === build);
    return (view?.book.effective() ?? []).flatMap(({ what, at }) =>
      what?.kind === kind && !at.device.startsWith("0".repeat(15)) ? [what] : [],
    );
  };

  expect([own("b", "set-up"), own("c", "set-up")].map((all) => all.length)).toEqual([1, 1]);
  expect(own("b", "began")).toEqual([
    { kind: "began", operation: "A/cut-legs", beside: 10 },
    { kind: "began", operation: "B/cut-legs", beside: 10 },
  ]);
  expect(own("c", "began")).toEqual([{ kind: "began", operation: "A/cut-legs", beside: 20 }]);
});
