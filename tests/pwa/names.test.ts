import { expect, test } from "vitest";
import { stuffName } from "../../pwa/src/screens/words/names.ts";

test.each([
  ["pva-interior", "PVA (plain white or yellow)"],
  ["pva-type-2", "PVA (type II, water-resistant)"],
  ["contact", "Contact cement"],
  ["hardwax-oil", "Hardwax oil (one part)"],
  ["bone-glue", "Bone glue"],
])("the glue or finish %s reads %s", (name, words) => {
  expect(stuffName(name)).toBe(words);
});
