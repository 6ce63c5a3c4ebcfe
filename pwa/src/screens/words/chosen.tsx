import type { Choice, Sheet } from "../../wire.gen.ts";

/** What was chosen when the build began; nothing where the recipe asked nothing. */
export function Chosen({ sheet }: { readonly sheet: Sheet }) {
  if (!sheet.choices?.length) return null;
  return (
    <ul class="chosen">
      {sheet.choices.map((choice) => (
        <li key={choice.name}>
          {choice.ask} <strong>{answers(choice)}</strong>
        </li>
      ))}
    </ul>
  );
}

/** "18 in, piece B 20 in" */
function answers({ value, by_piece = {} }: Choice): string {
  return [value, ...Object.entries(by_piece).map(([piece, own]) => `piece ${piece} ${own}`)].join(", ");
}
