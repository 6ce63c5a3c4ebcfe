/** Asks the server for what a phone does not keep; a refusal, or no answer, comes back in a sentence. */
import { deviceId } from "../live.ts";
import type { Refusal, RefusalDetail } from "../wire.gen.ts";

/** Why there is no answer: what the server said, or that it said nothing. */
export type Unanswered = Pick<RefusalDetail, "what" | "next_step" | "findings">;
export type Answer<T> = { readonly ok: true; readonly value: T } | ({ readonly ok: false } & Unanswered);

const AWAY: Unanswered = {
  what: "The server does not answer.",
  next_step: "Look whether it runs and this device is on the shop's network, then try again.",
};

const GARBLED: Unanswered = {
  what: "The server's answer cannot be read.",
  next_step: "Load the page anew; if that does not help, update the server.",
};

/** GET, or POST where there is something to send, unless another method is named. */
export async function ask<T>(path: string, sent?: unknown, method?: "PUT" | "DELETE"): Promise<Answer<T>> {
  try {
    const response = await fetch(path, asking(sent, method));
    if (response.status === 204) return { ok: true, value: null as T };
    const body: unknown = await response.json().catch(() => null);
    if (response.ok && body !== null) return { ok: true, value: body as T };
    return { ok: false, ...((body as Refusal | null)?.error ?? GARBLED) };
  } catch {
    return { ok: false, ...AWAY };
  }
}

function asking(sent: unknown, method?: string): RequestInit {
  const headers = { Device: deviceId() };
  if (sent === undefined) return { method: method ?? "GET", headers };
  const typed = { ...headers, "Content-Type": "application/json" };
  return { method: method ?? "POST", headers: typed, body: JSON.stringify(sent) };
}
