/** A page in memory: its store, a build in it, and the screens drawn from them; the server is away. */
import { IDBFactory } from "fake-indexeddb";
import "fake-indexeddb/auto";
import { render } from "preact";
import { act } from "preact/test-utils";
import { expect, vi } from "vitest";
import type { Of, What } from "../../pwa/src/bench/book.ts";
import type { Raw } from "../../pwa/src/bench/read.ts";
import { openSession } from "../../pwa/src/live/session.ts";
import { builds, now, shop, summaries } from "../../pwa/src/live/state.ts";
import { newCode } from "../../pwa/src/recipe/label_code.ts";
import { placeAt } from "../../pwa/src/screens/routes.tsx";
import { openDatabase } from "../../pwa/src/store/database.ts";
import type { Happening, Started } from "../../pwa/src/wire.gen.ts";
import startedText from "../vectors/stand/started.json?raw";

/** When the build was started, server time in ms. */
export const START = 1_795_597_200_000;
export const MINUTE = 60_000;

/** What was done before the test begins: so many minutes after the start, and what. */
export type Before = readonly [number, What];

/** Two stands; each part's label, in the order of the sheet, made of the numbers from 0 on. */
export const started: Started = JSON.parse(startedText);
export const codes: Readonly<Record<string, string>> = Object.fromEntries(
  Object.keys(started.codes).map((id, n) => [id, newCode(n)]),
);

/** Silence: no other tab is open. */
class NoOtherTab extends EventTarget {
  postMessage(): void {}
  close(): void {}
}

let count = 0;

function raw([minutes, what]: Before, about: readonly string[] = []): Raw {
  const id = `0190-${++count}`;
  return {
    id,
    n: 0,
    at: { ms: START + minutes * MINUTE, counter: count, device: "0".repeat(16) },
    build: "b",
    about,
    what,
  };
}

/** Opens a fresh page in which this was done before; `minutes` after the start. build: another than the two stands. */
export async function openPage(before: readonly Before[], minutes: number, build?: Started): Promise<void> {
  vi.useFakeTimers({ toFake: ["Date"] });
  vi.setSystemTime(START + minutes * MINUTE);
  vi.stubGlobal("BroadcastChannel", NoOtherTab);
  vi.stubGlobal("scrollTo", () => {});
  globalThis.indexedDB = new IDBFactory();
  [builds.value, summaries.value, shop.value] = [[], [], { settings: {}, readings: [] }];
  now.value = START + minutes * MINUTE;
  const world = { after: () => () => {}, random: () => 0 };
  const session = await openSession(await openDatabase("phone", () => {}), world);
  const beginning: Before = [0, build ?? { ...started, codes }];
  const air = before.filter(([, { kind }]) => kind === "conditions" || kind === "kept");
  session.show([beginning, ...before.filter((one) => !air.includes(one))].map((one) => raw(one)));
  session.show(air.map((one) => ({ ...raw(one), build: "" })));
}

/** Draws the screen at a path. */
export async function show(path: string): Promise<void> {
  await act(() => {
    render(placeAt(path).screen, document.body);
  });
}

/** Closes the page again. */
export async function closePage(): Promise<void> {
  await act(() => render(null, document.body));
  vi.useRealTimers();
  vi.unstubAllGlobals();
}

/** Everything that was recorded on this page, earliest first. */
export function recorded(): readonly Happening[] {
  const [view] = builds.value;
  return (view?.book.effective() ?? []).filter(({ at }) => at.device !== "0".repeat(16));
}

/** The latest thing that was recorded of a kind; fails when there is none. */
export function lastRecorded<Kind extends What["kind"]>(kind: Kind): Of<Kind> {
  const found = recorded().findLast((h): h is Of<Kind> => h.what?.kind === kind);
  if (!found) throw new Error(`no ${kind} was recorded, but ${recorded().map(({ what }) => what?.kind)}`);
  return found;
}

/** The buttons and links in sight that look like buttons, by their words. */
export function buttons(within: ParentNode = document): readonly string[] {
  return [...within.querySelectorAll("button, a.button")].map(wordsOf);
}

/** The one button or link with these words, or of this label. */
export function button(words: string, within: ParentNode = document): HTMLElement {
  const all = [...within.querySelectorAll<HTMLElement>("button, a")];
  const found = all.filter((one) => wordsOf(one) === words || one.getAttribute("aria-label") === words);
  expect(found, `a button “${words}” among ${buttons(within)}`).toHaveLength(1);
  return found[0] as HTMLElement;
}

/** Taps a button; what it changes is drawn then. */
export async function tap(words: string, within: ParentNode = document): Promise<void> {
  await act(() => button(words, within).click());
}

/** Writes into the field of this label. */
export async function write(label: string, text: string): Promise<void> {
  const found = [...document.querySelectorAll("label")].find((one) => wordsOf(one) === label);
  const field = document.getElementById(found?.htmlFor ?? "") as HTMLInputElement | null;
  if (!field) throw new Error(`no field “${label}”`);
  await act(() => {
    field.value = text;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

/** Chooses one of several that are all in sight. */
export async function choose(words: string): Promise<void> {
  const found = [...document.querySelectorAll("label")].find((one) => wordsOf(one) === words);
  const radio = found?.querySelector("input");
  if (!radio) throw new Error(`no choice “${words}”`);
  await act(() => {
    radio.checked = true;
    radio.dispatchEvent(new Event("change", { bubbles: true }));
  });
}

/** Sends off the form in the open dialog, or the only form there is. */
export async function submit(words: string): Promise<void> {
  const form = button(words).closest("form");
  await act(() => {
    form?.dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  });
}

/** The dialog that is open; fails when there is none. */
export function dialog(): HTMLElement {
  const found = document.querySelector<HTMLElement>("dialog[open]");
  if (!found) throw new Error("no dialog is open");
  return found;
}

/** The words of everything that a selector finds. */
export function wordsAt(selector: string): readonly string[] {
  return [...document.querySelectorAll(selector)].map(wordsOf);
}

function wordsOf(element: Element): string {
  return (element.textContent ?? "").replace(/\s+/g, " ").trim();
}
