/** Recording: what a person did, taking it back, and starting a build. */
import type { What } from "../bench/book.ts";
import type { Raw } from "../bench/read.ts";
import { serverNow } from "../phone/server_time.ts";
import { askForBuild } from "../store/server.ts";
import { newId } from "../store/stamp.ts";
import type { Finding } from "../wire.gen.ts";
import { randomBytes, session } from "./session.ts";
import { waitUntil } from "./signals.ts";
import { builds } from "./state.ts";

/** How long to wait for a build that was started to arrive, ms. */
const WAIT_FOR_BUILD_MS = 10_000;

/** What came of starting a build: its id, or why there is none. */
export type Started =
  | { readonly ok: true; readonly id: string }
  | { readonly ok: false; readonly what: string; readonly next_step: string; readonly findings?: readonly Finding[] };

/**
 * Records that something happened: shows it at once; resolves when the phone's disk has it.
 *
 * build: its id, "" for the whole shop. about: ids of what it concerns. Never rejects: a failure shows in `syncing`.
 */
export async function record(build: string, what: What, about: readonly string[]): Promise<void> {
  const open = session();
  if (!open) return;
  if (!open.has(build)) await open.load(build);
  const at = open.nextStamp();
  const raw: Raw = { id: newId(at.ms, randomBytes), n: 0, at, build, about, what };
  open.show([raw]);
  await open.recorder.keep(raw);
  await navigator.storage?.persist?.().catch(() => false); // asked with each tap: browsers grant it to pages in use
}

/** Records that a happening of this build no longer counts. Never rejects. */
export function undo(build: string, happening: string): Promise<void> {
  return record(build, { kind: "undone", happening }, session()?.find(build, happening)?.about ?? []);
}

/** Has the server start a build of so many pieces, and waits until its sheet is here. Never rejects. */
export async function startBuild(recipe: string, pieces: number, name: string): Promise<Started> {
  const open = session();
  const id = newId(serverNow(), randomBytes);
  const reply = open && (await askForBuild({ id, recipe, pieces, name }, open.device));
  if (!reply)
    return {
      ok: false,
      what: "The server does not answer.",
      next_step: "Look whether it runs and this device is on the shop's network, then try again.",
    };
  if ("problem" in reply) return { ok: false, ...reply.problem };
  open?.recorder.poke();
  await waitUntil(() => builds.value.some((view) => view.id === id), WAIT_FOR_BUILD_MS);
  return { ok: true, id };
}
