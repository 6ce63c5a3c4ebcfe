/** Where the page's worker hands out the calendar entries that the page makes: known to both. */

/** The cache in which the page leaves an entry for the worker. */
export const ENTRIES = "calendar-entries";

const FOLDER = "/entries/";

/** The path of an entry's file, by its UID. */
export function entryPath(uid: string): string {
  return `${FOLDER}${uid}.ics`;
}

/** Whether the worker hands out entries at this path. */
export function isEntryPath(path: string): boolean {
  return path.startsWith(FOLDER);
}
