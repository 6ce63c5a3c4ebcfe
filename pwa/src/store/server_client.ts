/**
 * The one client for the server: every request of the page goes through `ask`, but for the stream of nudges.
 *
 * A request ends after its timeout and never rejects. A server that cannot be reached is no error: work goes on.
 */
import { MINUTE_MS } from "../durations.ts";
import type { Refusal, RefusalDetail } from "../wire.gen.ts";

/** Why something cannot be done, and what to do about it: one sentence each, for a person to read. */
export type Explanation = Pick<RefusalDetail, "what" | "next_step" | "findings">;

/**
 * What came of a request. away: no network, or too slow. garbled: something answered, but not what the server says; its
 * records may be damaged, or something else answers at this address.
 */
export type Reply<T> =
  | { readonly kind: "ok"; readonly value: T }
  | { readonly kind: "refused"; readonly problem: RefusalDetail }
  | { readonly kind: "away"; readonly problem: Explanation }
  | { readonly kind: "garbled"; readonly problem: Explanation };

/** Thrown by what reads an answer when it is not of the form that it must have. */
export class Garbled extends Error {}

/** How long a request may take with the reading of its answer, ms. The server plans for a minute at most. */
export const TIMEOUT_MS = { usual: 30_000, plan: 90_000, photo: 120_000 } as const;

/**
 * method: GET, or POST where there is a body, unless it is named. body: a Blob as it is, anything else as JSON.
 * etag: the server's name for what is known here already. read: how to read a good answer; as JSON unless it is named.
 */
export type Question<T> = {
  readonly method?: "PUT" | "DELETE";
  readonly body?: unknown;
  readonly etag?: string;
  readonly timeoutMs?: number;
  readonly read?: (response: Response) => Promise<T>;
};

const AWAY: Explanation = {
  what: "The server does not answer.",
  next_step: "Look whether it runs and this device is on the shop's network, then try again.",
};

const GARBLED: Explanation = {
  what: "The server's answer is garbled.",
  next_step: "Load the page again; if that does not help, look under Shop and into the server's log.",
};

/** Asks the server. device: the name under which it knows this device. Never rejects. */
export async function ask<T>(device: string, path: string, question: Question<T> = {}): Promise<Reply<T>> {
  const { timeoutMs = TIMEOUT_MS.usual, read = readJson<T> } = question;
  let response: Response;
  try {
    response = await fetch(path, { ...requestOf(device, question), signal: AbortSignal.timeout(timeoutMs) });
  } catch {
    return { kind: "away", problem: AWAY };
  }
  try {
    if (response.ok || response.status === NOT_MODIFIED) return { kind: "ok", value: await read(response) };
    const said: unknown = await response.json();
    return isRefusal(said) ? { kind: "refused", problem: said.error } : { kind: "garbled", problem: GARBLED };
  } catch (error) {
    const isGarbled = error instanceof Garbled || error instanceof SyntaxError;
    return isGarbled ? { kind: "garbled", problem: GARBLED } : { kind: "away", problem: AWAY };
  }
}

const NOT_MODIFIED = 304;
const NO_CONTENT = 204;

async function readJson<T>(response: Response): Promise<T> {
  return (response.status === NO_CONTENT ? null : await response.json()) as T;
}

function requestOf(device: string, { method, body, etag }: Question<unknown>): RequestInit {
  const headers: Record<string, string> = { Device: device };
  if (etag) headers["If-None-Match"] = etag;
  if (body === undefined) return { method: method ?? "GET", cache: "no-store", headers };
  headers["Content-Type"] = body instanceof Blob ? body.type : "application/json";
  return { method: method ?? "POST", headers, body: body instanceof Blob ? body : JSON.stringify(body) };
}

/** Whether that is the one shape in which the server refuses. */
function isRefusal(said: unknown): said is Refusal {
  if (typeof said !== "object" || said === null || !("error" in said)) return false;
  const { error } = said;
  return typeof error === "object" && error !== null && "what" in error && "next_step" in error && "kind" in error;
}

const RECONNECT_MS = MINUTE_MS;

/**
 * Who listens. onNudge: called with the server's newest position whenever it moves, and whenever the stream is there
 * again. onAlarms: called again and again with when the server last saw to its alarms, null for never. onBreak: called
 * when a stream that was there breaks.
 */
export type Listener = {
  readonly onNudge: (position: number) => void;
  readonly onAlarms: (ran: number | null) => void;
  readonly onBreak: () => void;
};

/**
 * Listens to the server's stream; gives what ends it.
 *
 * The browser connects again by itself; where it gives up, after a refusal, this does a minute later.
 */
export function listen({ onNudge, onAlarms, onBreak }: Listener): () => void {
  let source: EventSource | null = null;
  let isThere = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const open = () => {
    source = new EventSource("/live");
    source.addEventListener("open", () => {
      isThere = true;
    });
    source.addEventListener("nudge", ({ data }) => onNudge(Number(data)));
    source.addEventListener("alarms", ({ data }) => onAlarms(data === "" ? null : Number(data)));
    source.addEventListener("error", () => {
      if (source?.readyState === EventSource.CLOSED) timer = setTimeout(open, RECONNECT_MS);
      if (isThere) onBreak();
      isThere = false;
    });
  };
  open();
  return () => {
    clearTimeout(timer);
    source?.close();
  };
}
