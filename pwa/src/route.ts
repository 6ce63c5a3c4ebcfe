/** Places in the page by their address. */
import { PATHS } from "./recipe/label_code.ts";

export type Route =
  | { readonly screen: "bench" | "scan" | "builds" | "plan" | "recipes" | "shop" | "wall" | "pair" }
  | { readonly screen: "build" | "log" | "print"; readonly build: string }
  | { readonly screen: "operation"; readonly build: string; readonly operation: string }
  | { readonly screen: "part"; readonly build: string; readonly part: string }
  | { readonly screen: "label"; readonly code: string }
  | { readonly screen: "place"; readonly kind: "station" | "setup" | "rack"; readonly name: string }
  | { readonly screen: "recipe"; readonly name: string }
  | { readonly screen: "lost"; readonly path: string };

const PLAIN = ["scan", "builds", "plan", "recipes", "shop", "wall", "pair"] as const;

/** What an address's path stands for; "lost" where there is nothing. */
export function routeOf(path: string): Route {
  const steps = path.split("/").filter(Boolean).map(decoded);
  const [first, second = "", third, fourth = ""] = steps;
  const plain = PLAIN.find((screen) => screen === first && steps.length === 1);
  if (!first) return { screen: "bench" };
  if (plain) return { screen: plain };
  if (first.toUpperCase() === PATHS.part && steps.length === 2) return { screen: "label", code: second };
  const place = (["station", "setup", "rack"] as const).find((kind) => PATHS[kind] === first.toUpperCase());
  if (place && steps.length === 2) return { screen: "place", kind: place, name: second };
  if (first === "recipes" && steps.length === 2) return { screen: "recipe", name: second };
  if (first === "b" && steps.length === 2) return { screen: "build", build: second };
  if (first === "b" && third === "log" && steps.length === 3) return { screen: "log", build: second };
  if (first === "b" && third === "print" && steps.length === 3) return { screen: "print", build: second };
  if (first === "b" && third === "o" && steps.length === 4)
    return { screen: "operation", build: second, operation: fourth };
  if (first === "b" && third === "p" && steps.length === 4) return { screen: "part", build: second, part: fourth };
  return { screen: "lost", path };
}

function decoded(step: string): string {
  try {
    return decodeURIComponent(step);
  } catch {
    return step;
  }
}
