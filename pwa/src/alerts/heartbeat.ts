/** Whether the server still rings, as far as this phone knows. The server's side: alerts/heartbeat.py. */

/** The server sees to its alarms every ten seconds, and says so every fifteen. */
const SILENT_MS = 45_000;

/** After a sleep the page needs a moment to ask. */
const ASKING_MS = 5_000;

/**
 * From when on only this phone rings; null while the server rings too, and where no server ever did.
 *
 * ran: when the server last saw to its alarms, as far as it was told here; 0 for never. awake: since when this page has
 * been awake. now: all server time in ms.
 */
export function aloneSince(ran: number, awake: number, now: number): number | null {
  return ran > 0 && now - ran > SILENT_MS && now - awake > ASKING_MS ? ran : null;
}
