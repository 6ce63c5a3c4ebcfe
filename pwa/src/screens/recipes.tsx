import { Link } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import type { RecipeLine, Recipes } from "../wire.gen.ts";
import { Fetched } from "./fetched.tsx";
import { recipePath } from "./paths.ts";
import { counted } from "./words/names.ts";

/** What can be built. */
export function RecipesScreen({ title }: { readonly title: string }) {
  return (
    <>
      <Top title={title} back="/builds" />
      <Fetched<Recipes> path="/recipes">
        {({ recipes }) => (
          <ul class="rows">
            {recipes.map((row) => (
              <li key={row.name} class="row">
                <Link to={recipePath(row.name)} class="row-words">
                  <span>
                    {row.title}
                    <small>{verdict(row)}</small>
                  </span>
                  <Icon name="onward" />
                </Link>
              </li>
            ))}
          </ul>
        )}
      </Fetched>
    </>
  );
}

function verdict({ about, errors, warnings }: RecipeLine): string {
  if (errors) return `${counted(errors, "error")}: not to be built from yet.`;
  return [about, warnings ? `${counted(warnings, "warning")}.` : ""].filter(Boolean).join(" ");
}
