/** Where in the page a person is, by its address. */
import { type Signal, signal } from "@preact/signals";
import { type Route, routeOf } from "../route.ts";

export const route: Signal<Route> = signal(routeOf(globalThis.location?.pathname ?? "/"));

/** Shows another place in the page, and leaves the scroll position as it is. */
export function go(path: string): void {
  if (path !== location.pathname) history.pushState(null, "", path);
  route.value = routeOf(new URL(path, location.href).pathname);
}

/** Shows another place in the page from its top. Going back is the browser's, which remembers the scroll position. */
export function travel(path: string): void {
  go(path);
  scrollTo(0, 0);
}

/** Follows the browser's Back and Forward. */
export function followHistory(): void {
  addEventListener("popstate", () => {
    route.value = routeOf(location.pathname);
  });
}
