/** The server's plan: how the page asks for it, and how the last one is kept for when the server is away. */
import type { PlanTold, RefusalDetail } from "../wire.gen.ts";
import { type Database, keep, readKept } from "./database.ts";
import { isRefusal } from "./server.ts";

const PATIENCE_MS = 30_000;

/** A plan with the server's name for it; told: null when no build was open. */
export type KeptPlan = { readonly etag: string; readonly told: PlanTold | null };

const NONE: KeptPlan = { etag: "", told: null };

/** The plan of now, `known` itself when it is still that one; why there is none; null without an answer. Rejects never. */
export async function askForPlan(known: KeptPlan, device: string): Promise<KeptPlan | RefusalDetail | null> {
  try {
    const response = await fetch("/plan", {
      cache: "no-store",
      headers: { Device: device, ...(known.etag && { "If-None-Match": known.etag }) },
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    if (response.status === 304) return known;
    if (response.status === 204) return NONE;
    const said: unknown = await response.json();
    if (response.ok) return { etag: response.headers.get("ETag") ?? "", told: said as PlanTold };
    return isRefusal(said) ? said.error : null;
  } catch {
    return null;
  }
}

export async function readPlan(db: Database): Promise<KeptPlan> {
  return ((await readKept(db, "plan")) as KeptPlan | undefined) ?? NONE;
}

export function keepPlan(db: Database, plan: KeptPlan): Promise<void> {
  return keep(db, "plan", plan);
}
