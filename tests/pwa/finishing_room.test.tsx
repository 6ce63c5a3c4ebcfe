// @vitest-environment happy-dom
/** Whether coats dry where no dust gets is said once for the shop. */
import { afterEach, expect, test } from "vitest";
import { shop } from "../../pwa/src/live/state.ts";
import { choose, closePage, openPage, show } from "./page.ts";

afterEach(closePage);

test("the shop says that it has a finishing room, and that it has none", async () => {
  await openPage([], 5);
  await show("/shop");
  await choose("In a finishing room");

  expect(shop.value.settings.finishing_room).toBe(true);

  await choose("In the shop: the plan keeps dust away while they are wet");

  expect(shop.value.settings.finishing_room).toBe(false);
});
