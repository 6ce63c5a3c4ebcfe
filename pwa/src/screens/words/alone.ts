/** What is said when the server does not ring. */
import { clockTime } from "../../moments.ts";
import type { SyncState } from "../../store/sender.ts";

/** "Since 14:10 only this phone rings". state: how sync stands; why a server does not answer the line says itself. */
export function aloneWords(since: number | null, state: SyncState, now: number, device = "this phone"): string {
  if (since === null) return "";
  const words = `Since ${clockTime(since, now)} only ${device} rings`;
  if (state !== "synced") return `${words}.`;
  return `${words}: the server's alarms stand still. Start the server again; its log says why.`;
}
