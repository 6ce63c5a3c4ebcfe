/** Recording: what a person did, taking it back, and starting a build. */
import type { What } from "../bench/book.ts";
import type { Raw } from "../bench/read.ts";
import { serverNow, serverWhen } from "../phone/server_time.ts";
import type { Reply } from "../store/server_client.ts";
import { newId } from "../store/stamp.ts";
import type { BuildStarted } from "../wire.gen.ts";
import { wantLasting } from "./keeping.ts";
import { askServer, randomBytes, session } from "./session.ts";
import { waitUntil } from "./signals.ts";
import { builds } from "./state.ts";

/** How long to wait for a build that was started to arrive, ms. */
const WAIT_FOR_BUILD_MS = 10_000;

/**
 * Records that something happened: shows it at once, and that it waits; resolves when the phone's disk has it.
 *
 * build: its id, "" for the whole shop. about: ids of what it concerns. Never rejects: a failure shows in `syncing`.
 */
export async function record(build: string, what: What, about: readonly string[]): Promise<void> {
  const open = session();
  if (!open) return;
  if (!open.has(build)) await open.load(build);
  const at = open.nextStamp();
  const raw: Raw = { id: newId(at.ms, randomBytes), n: 0, at, build, about, what, when: serverWhen() };
  open.show([raw]);
  await open.recorder.keep(raw);
  void wantLasting(); // asked with each tap: browsers grant it to pages in use
}

/** Records that a happening of this build no longer counts. Never rejects. */
export function undo(build: string, happening: string): Promise<void> {
  return record(build, { kind: "undone", happening }, session()?.find(build, happening)?.about ?? []);
}

/**
 * Has the server start a build of so many pieces, waits until its sheet is here, and gives its id. Never rejects.
 *
 * choices: answers to the recipe's choices, by name; for one piece by "B.width".
 */
export async function startBuild(
  recipe: string,
  pieces: number,
  name: string,
  choices: Readonly<Record<string, string>>,
): Promise<Reply<string>> {
  const id = newId(serverNow(), randomBytes);
  const reply = await askServer<BuildStarted>("/builds", { body: { id, recipe, pieces, name, choices } });
  if (reply.kind !== "ok") return reply;
  session()?.recorder.syncNow();
  await waitUntil(() => builds.value.some((view) => view.id === id), WAIT_FOR_BUILD_MS);
  return { kind: "ok", value: id };
}
