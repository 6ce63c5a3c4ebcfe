import { expect, test } from "vitest";
import { Turn } from "../../pwa/src/store/tabs.ts";

test("a page that is being left asks for its turn no more", async () => {
  let asked = 0;
  // Web Locks API (W3C), request(): one made in a page that is not fully active is refused with InvalidStateError.
  const request = async () => {
    asked += 1;
    if (asked > 20) return new Promise(() => {}); // else a page that never gives up would never end here either
    throw new DOMException("not fully active", asked === 1 ? "AbortError" : "InvalidStateError");
  };
  const turn = new Turn(() => () => {}, { request } as unknown as LockManager);
  turn.claim();
  await new Promise((done) => setTimeout(done, 20));

  expect([asked, turn.isMine]).toEqual([2, false]);
});
