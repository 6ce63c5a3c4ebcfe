import { Button } from "../../controls/button.tsx";
import { Field, PickOne, Choice as RadioList } from "../../controls/field.tsx";
import { NotAMeasure, NUMBER, read, type Units } from "../../recipe/measure.ts";
import type { Choice } from "../../wire.gen.ts";

/** The most texts that are all in sight; more go into the phone's own list. */
const MOST_IN_SIGHT = 4;

/** Answers by the name of the choice, "width", or for one piece by "B.width". */
export type Answers = Readonly<Record<string, string>>;

type ChoicesProps = {
  readonly choices: readonly Choice[];
  readonly pieces: number;
  readonly answers: Answers;
  readonly onAnswers: (answers: Answers) => void;
};

/** What a recipe asks when a build begins: for all pieces, and for single pieces that are to differ. */
export function Choices({ choices, pieces, answers, onAnswers }: ChoicesProps) {
  const letters = Array.from({ length: pieces }, (_, n) => String.fromCharCode(65 + n));
  const single = choices.filter(({ kind }) => kind === "size" || kind === "one-of");
  const differs = (piece: string) => Object.keys(answers).some((key) => key.startsWith(`${piece}.`));
  const forAll = ({ name, value }: Choice) => answers[name] ?? value;
  const toggle = (piece: string) => {
    const others = Object.entries(answers).filter(([key]) => !key.startsWith(`${piece}.`));
    const own = differs(piece) ? [] : single.map((choice) => [`${piece}.${choice.name}`, forAll(choice)] as const);
    onAnswers(Object.fromEntries([...others, ...own]));
  };
  const answer = (key: string) => (text: string) => onAnswers({ ...answers, [key]: text });
  return (
    <>
      {choices.map((choice) => (
        <OneChoice key={choice.name} choice={choice} value={forAll(choice)} onAnswer={answer(choice.name)} />
      ))}
      {pieces > 1 && single.length > 0 && (
        <fieldset class="pieces">
          <legend>Pieces that differ</legend>
          {letters.map((piece) => (
            <button
              key={piece}
              type="button"
              class="chip"
              aria-pressed={differs(piece)}
              aria-label={`Piece ${piece} differs`}
              onClick={() => toggle(piece)}
            >
              {piece}
            </button>
          ))}
        </fieldset>
      )}
      {letters.filter(differs).map((piece) => (
        <fieldset key={piece} class="of-piece stack">
          <legend>Piece {piece}</legend>
          {single.map((choice) => {
            const key = `${piece}.${choice.name}`;
            return (
              <OneChoice key={key} choice={choice} value={answers[key] ?? forAll(choice)} onAnswer={answer(key)} />
            );
          })}
        </fieldset>
      ))}
    </>
  );
}

type OneChoiceProps = { readonly choice: Choice; readonly value: string; readonly onAnswer: (text: string) => void };

function OneChoice({ choice, value, onAnswer }: OneChoiceProps) {
  const { ask, kind, among = [] } = choice;
  if (kind === "yes-no")
    return (
      <label class="tickbox">
        <input
          type="checkbox"
          checked={value === "yes"}
          onChange={({ currentTarget }) => onAnswer(currentTarget.checked ? "yes" : "no")}
        />
        <span>{ask}</span>
      </label>
    );
  if (kind === "one-of") {
    const options = among.map((text) => [text, text] as const);
    return among.length > MOST_IN_SIGHT ? (
      <PickOne label={ask} value={value} options={options} onPick={onAnswer} />
    ) : (
      <RadioList label={ask} value={value} options={options} onChoice={onAnswer} />
    );
  }
  if (kind === "count") return <Count choice={choice} value={value} onAnswer={onAnswer} />;
  return <Field label={ask} value={value} hint={allowed(choice)} onText={onAnswer} />;
}

function Count({ choice, value, onAnswer }: OneChoiceProps) {
  const step = Number(choice.step || 1);
  const to = (by: number) => {
    const wanted = Number(value) + by * step;
    const least = choice.least ? Number(choice.least) : 0;
    if (wanted >= least && (!choice.most || wanted <= Number(choice.most))) onAnswer(String(wanted));
  };
  return (
    <fieldset class="stepper">
      <legend>{choice.ask}</legend>
      <Button onTap={() => to(-1)}>− fewer</Button>
      <output class="figure">{value}</output>
      <Button onTap={() => to(1)}>+ more</Button>
    </fieldset>
  );
}

/** What a size may be: "14 in to 24 in, in steps of 1/2 in." */
function allowed({ least, most, step }: Choice): string {
  const range = least && most ? `${least} to ${most}` : least ? `At least ${least}` : most ? `At most ${most}` : "";
  return [range, step ? `in steps of ${step}` : ""].filter(Boolean).join(", ") + (range || step ? "." : "");
}

/** The answers but for those of pieces that the build no longer has. */
export function ofPieces(answers: Answers, pieces: number): Answers {
  const isThere = (key: string) => key[1] !== "." || key.charCodeAt(0) - 65 < pieces;
  return Object.fromEntries(Object.entries(answers).filter(([key]) => isThere(key)));
}

/** The answers as they are sent: a bare number for a length gets the recipe's unit. */
export function toSend(answers: Answers, choices: readonly Choice[], units: Units): Answers {
  const lengths = new Set(choices.filter(({ dim }) => dim === "length").map(({ name }) => name));
  return Object.fromEntries(
    Object.entries(answers).map(([key, text]) => {
      const isBare = lengths.has(key.slice(key.indexOf(".") + 1)) && isNumber(text);
      return [key, isBare ? `${text.trim()} ${units}` : text];
    }),
  );
}

function isNumber(text: string): boolean {
  try {
    return read(text).dim === NUMBER;
  } catch (error) {
    if (error instanceof NotAMeasure) return false;
    throw error;
  }
}
