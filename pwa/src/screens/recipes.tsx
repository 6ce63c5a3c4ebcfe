import { Way } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import type { RecipeLine, Recipes } from "../wire.gen.ts";
import { Asked } from "./asked.tsx";
import { recipePath } from "./paths.ts";
import { counted } from "./words/names.ts";

/** What can be built. */
export function RecipesScreen() {
  return (
    <>
      <Top title="Recipes" back="/builds" />
      <Asked<Recipes> path="/recipes">
        {({ recipes }) => (
          <ul class="rows">
            {recipes.map((row) => (
              <li key={row.name} class="row">
                <Way to={recipePath(row.name)} class="row-words">
                  <span>
                    {row.title}
                    <small>{verdict(row)}</small>
                  </span>
                  <Icon name="onward" />
                </Way>
              </li>
            ))}
          </ul>
        )}
      </Asked>
    </>
  );
}

function verdict({ about, errors, warnings }: RecipeLine): string {
  if (errors) return `${counted(errors, "error")}: not to be built from yet.`;
  return [about, warnings ? `${counted(warnings, "warning")}.` : ""].filter(Boolean).join(" ");
}
