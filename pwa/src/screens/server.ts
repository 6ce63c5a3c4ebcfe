/** Asks the server for what a phone does not keep; a refusal, or no answer, comes back in a sentence. */
import type { Finding } from "../wire.gen.ts";

export type Answer<T> = { readonly ok: true; readonly value: T } | Refusal;
export type Refusal = {
  readonly ok: false;
  readonly kind: string;
  readonly what: string;
  readonly next_step: string;
  readonly findings?: readonly Finding[];
};

const AWAY: Refusal = {
  ok: false,
  kind: "away",
  what: "The server does not answer.",
  next_step: "Look whether it runs and this phone is on the shop's network, then try again.",
};

const GARBLED: Refusal = {
  ok: false,
  kind: "garbled",
  what: "The server's answer cannot be read.",
  next_step: "Load the page anew; if that does not help, update the server.",
};

/** GET, or POST where there is something to send. */
export async function ask<T>(path: string, sent?: unknown): Promise<Answer<T>> {
  let response: Response;
  try {
    response = await fetch(path, sent === undefined ? {} : posting(sent));
  } catch {
    return AWAY;
  }
  const body: unknown = await response.json().catch(() => null);
  if (response.ok) return body === null ? GARBLED : { ok: true, value: body as T };
  const error = (body as { error?: Omit<Refusal, "ok"> } | null)?.error;
  return error ? { ...error, ok: false } : GARBLED;
}

function posting(sent: unknown): RequestInit {
  return { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(sent) };
}
