import { expect, test } from "vitest";
import { routeOf } from "../../pwa/src/route.ts";

test.each([
  ["/", { screen: "bench" }],
  ["/scan", { screen: "scan" }],
  ["/builds", { screen: "builds" }],
  ["/b/0190", { screen: "build", build: "0190" }],
  ["/b/0190/log", { screen: "log", build: "0190" }],
  ["/b/0190/o/A%2Fcut%20legs", { screen: "operation", build: "0190", operation: "A/cut legs" }],
  ["/b/0190/p/A%2Fleg-1", { screen: "part", build: "0190", part: "A/leg-1" }],
  ["/P/BFXR71N8", { screen: "label", code: "BFXR71N8" }],
  ["/p/bfxr71n8/", { screen: "label", code: "bfxr71n8" }],
  ["/recipes/plant-stand", { screen: "recipe", name: "plant-stand" }],
  ["/scan/more", { screen: "lost", path: "/scan/more" }],
  ["/b/0190/x/1", { screen: "lost", path: "/b/0190/x/1" }],
  ["/b/0190/o/%E0%A4%A", { screen: "operation", build: "0190", operation: "%E0%A4%A" }],
])("%s", (path, route) => {
  expect(routeOf(path)).toEqual(route);
});
