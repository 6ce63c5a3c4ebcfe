import { go } from "../live.ts";

/** To another place in the page, seen from its top. Going back is the browser's, which remembers how far one was. */
export function travel(to: string): void {
  go(to);
  scrollTo(0, 0);
}
