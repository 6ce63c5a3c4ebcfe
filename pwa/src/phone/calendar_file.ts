/** Handing a calendar entry over to the phone's calendar, without a network. */
import { ENTRIES, entryPath } from "../alerts/entry_address.ts";
import { MINUTE_MS } from "../durations.ts";

const TYPE = "text/calendar;charset=utf-8";

/**
 * Opens an iCalendar stream as the browser opens such a file: where it can, with the phone's calendar.
 *
 * The worker hands it out under an address of this site, since not every phone's calendar takes a file out of a page's
 * memory. Without a worker, or without room for the file, the browser downloads it from there all the same.
 */
export async function openCalendarFile(uid: string, stream: string): Promise<void> {
  const headers = { "Content-Type": TYPE, "Content-Disposition": `inline; filename="${uid}.ics"` };
  try {
    if (!navigator.serviceWorker?.controller) throw new Error("no worker is in charge");
    await (await caches.open(ENTRIES)).put(entryPath(uid), new Response(stream, { headers }));
    location.assign(entryPath(uid));
  } catch {
    download(`${uid}.ics`, new Blob([stream], { type: TYPE }));
  }
}

function download(name: string, file: Blob): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), MINUTE_MS); // some browsers read it only after the click
}
