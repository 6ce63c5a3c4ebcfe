/** Asks the server for what a phone does not keep; a refusal, or no answer, comes back in a sentence. */
import type { Problem, Refusal } from "../wire.gen.ts";

/** Why there is no answer: what the server said, or that it said nothing. */
export type Unanswered = Pick<Problem, "what" | "next_step" | "findings">;
export type Answer<T> = { readonly ok: true; readonly value: T } | ({ readonly ok: false } & Unanswered);

const AWAY: Unanswered = {
  what: "The server does not answer.",
  next_step: "Look whether it runs and this device is on the shop's network, then try again.",
};

const GARBLED: Unanswered = {
  what: "The server's answer cannot be read.",
  next_step: "Load the page anew; if that does not help, update the server.",
};

/** GET, or POST where there is something to send. */
export async function ask<T>(path: string, sent?: unknown): Promise<Answer<T>> {
  try {
    const response = await fetch(path, sent === undefined ? {} : posting(sent));
    const body: unknown = await response.json().catch(() => null);
    if (response.ok && body !== null) return { ok: true, value: body as T };
    return { ok: false, ...((body as Refusal | null)?.error ?? GARBLED) };
  } catch {
    return { ok: false, ...AWAY };
  }
}

function posting(sent: unknown): RequestInit {
  return { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(sent) };
}
