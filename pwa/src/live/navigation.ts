/** Where in the page a person is, by its address. */
import { type Signal, signal } from "@preact/signals";

/** The path of the place that is shown, such as "/b/0190/log". */
export const path: Signal<string> = signal(globalThis.location?.pathname ?? "/");

/** Shows another place in the page, and leaves the scroll position as it is. address: a path, perhaps with a query. */
export function go(address: string): void {
  if (address !== location.pathname) history.pushState(null, "", address);
  path.value = new URL(address, location.href).pathname;
}

/** Shows another place in the page from its top. Going back is the browser's, which remembers the scroll position. */
export function travel(address: string): void {
  go(address);
  scrollTo(0, 0);
}

/** Follows the browser's Back and Forward. */
export function followHistory(): void {
  addEventListener("popstate", () => {
    path.value = location.pathname;
  });
}
