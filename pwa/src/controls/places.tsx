import { route } from "../live/navigation.ts";
import { Link } from "./button.tsx";
import type { IconName } from "./icon.tsx";

const PLACES: readonly (readonly [string, string, IconName, readonly string[]])[] = [
  ["/", "Bench", "bench", ["bench", "operation", "plan"]],
  ["/scan", "Scan", "scan", ["scan", "part", "label", "place"]],
  ["/builds", "Builds", "builds", ["builds", "build", "log", "print", "recipes", "recipe"]],
  ["/shop", "Shop", "shop", ["shop", "pair"]],
];

/** The four places of the page, under the thumb. */
export function Places() {
  return (
    <nav class="places" aria-label="Places">
      {PLACES.map(([to, words, icon, screens]) => (
        <Link key={to} to={to} class="place" icon={icon} current={screens.includes(route.value.screen)}>
          <span>{words}</span>
        </Link>
      ))}
    </nav>
  );
}
