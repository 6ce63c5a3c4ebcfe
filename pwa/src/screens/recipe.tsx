import "./recipe.css";
import { useSignal } from "@preact/signals";
import { Button } from "../controls/button.tsx";
import { Dialog } from "../controls/dialog.tsx";
import { Findings } from "../controls/findings.tsx";
import { Top } from "../controls/top.tsx";
import type { CheckedRecipe, Finding, Recipes, RecipeText } from "../wire.gen.ts";
import { StartForm } from "./builds/start_form.tsx";
import { Fetched } from "./fetched.tsx";
import { begun } from "./words/names.ts";

/** What one recipe makes, what the checker says of it, and its text by line: folded away while nothing is wrong. */
export function RecipeScreen({ name, title }: { readonly name: string; readonly title: string }) {
  return (
    <>
      <Top title={begun(name.replaceAll("-", " "))} back="/recipes" over={title} />
      <Fetched<RecipeText> path={`/recipes/${encodeURIComponent(name)}`}>
        {({ text }) => (
          <Fetched<CheckedRecipe> path="/recipes/check" sent={{ text }}>
            {({ findings }) => <Recipe name={name} text={text} findings={findings} />}
          </Fetched>
        )}
      </Fetched>
    </>
  );
}

function Recipe({ name, text, findings }: { name: string; text: string; findings: readonly Finding[] }) {
  const starting = useSignal(false);
  const lines = new Set(findings.map(({ line, used_by }) => used_by?.at(-1)?.line ?? line));
  return (
    <>
      <Fetched<Recipes> path="/recipes">
        {({ recipes }) => <p>{recipes.find((row) => row.name === name)?.about}</p>}
      </Fetched>
      <section class="block">
        <h2>Checked</h2>
        {findings.length === 0 ? <p>Sound: the checker finds nothing.</p> : <Findings findings={findings} />}
      </section>
      <details open={findings.length > 0}>
        <summary>The recipe as written</summary>
        <ol class="source">
          {text.split("\n").map((line, n) => (
            <li key={`${n} ${line}`} class={lines.has(n + 1) ? "found" : undefined}>
              <code>{line || " "}</code>
            </li>
          ))}
        </ol>
      </details>
      {findings.every(({ grade }) => grade !== "error") && (
        <div class="deeds">
          <Button kind="main" icon="plus" onTap={() => (starting.value = true)}>
            Start a build of it
          </Button>
        </div>
      )}
      {starting.value && (
        <Dialog title="Start a build" onClose={() => (starting.value = false)}>
          <StartForm recipe={name} />
        </Dialog>
      )}
    </>
  );
}
