import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { Button, Submit } from "../../controls/button.tsx";
import { Choice, Field } from "../../controls/field.tsx";
import { Findings } from "../../controls/findings.tsx";
import { Notice } from "../../controls/notice.tsx";
import { travel } from "../../live/navigation.ts";
import { startBuild } from "../../live/record.ts";
import type { Explanation } from "../../store/server_client.ts";
import type { RecipeLine, Recipes } from "../../wire.gen.ts";
import { Fetched } from "../fetched.tsx";
import { buildPath } from "../paths.ts";
import { type Answers, Choices, ofPieces, toSend } from "./choices.tsx";

const MOST_PIECES = 26;

/** Which recipe, how many pieces, what it asks, and what to call it. The server compiles it, so it has to be there. */
export function StartForm({ recipe = "" }: { recipe?: string }) {
  return <Fetched<Recipes> path="/recipes">{({ recipes }) => <Form rows={recipes} chosen={recipe} />}</Fetched>;
}

function Form({ rows, chosen }: { rows: readonly RecipeLine[]; chosen: string }) {
  const recipe = useSignal(chosen || (rows[0]?.name ?? ""));
  const pieces = useSignal(1);
  const answers = useSignal<Answers>({});
  const name = useSignal("");
  const refusal = useSignal<Explanation | null>(null);
  const refused = useRef<HTMLDivElement>(null);
  useEffect(() => refused.current?.scrollIntoView({ block: "center" }), [refusal.value]);
  const busy = useSignal(false);
  const row = rows.find(({ name }) => name === recipe.value);
  const choices = row?.choices ?? [];
  const send = async (event: Event) => {
    event.preventDefault();
    if (busy.value) return;
    busy.value = true;
    const wanted = toSend(answers.value, choices, row?.units ?? "mm");
    const title = row?.title ?? recipe.value;
    const reply = await startBuild(recipe.value, pieces.value, name.value.trim() || title, wanted);
    busy.value = false;
    if (reply.kind === "ok") travel(buildPath(reply.value));
    else refusal.value = reply.problem;
  };
  const step = (by: number) => {
    pieces.value = Math.min(MOST_PIECES, Math.max(1, pieces.value + by));
    answers.value = ofPieces(answers.value, pieces.value);
  };
  return (
    <form class="stack" onSubmit={(event) => void send(event)}>
      <Choice
        label="Recipe"
        value={recipe.value}
        options={rows.map((row) => [row.name, row.title] as const)}
        onChoice={(picked) => {
          recipe.value = picked;
          answers.value = {};
          refusal.value = null;
        }}
      />
      <fieldset class="stepper">
        <legend>Pieces</legend>
        <Button onTap={() => step(-1)}>− fewer</Button>
        <output class="figure">{pieces.value}</output>
        <Button onTap={() => step(1)}>+ more</Button>
      </fieldset>
      <Choices
        choices={choices}
        pieces={pieces.value}
        answers={answers.value}
        onAnswers={(given) => {
          answers.value = given;
          refusal.value = null;
        }}
      />
      <Field
        label="Name"
        value={name.value}
        hint="Such as who it is for. Empty: the recipe's title."
        onText={(text) => (name.value = text)}
      />
      {refusal.value && (
        <div class="stack" ref={refused}>
          <Notice what={refusal.value.what} next={refusal.value.next_step} grave />
          <Findings findings={refusal.value.findings ?? []} />
        </div>
      )}
      <Submit>{busy.value ? "Starting…" : "Start"}</Submit>
    </form>
  );
}
