/** What the server says of its recipes. */
import type { Finding } from "../../wire.gen.ts";

export type RecipeLine = {
  readonly name: string;
  readonly title: string;
  readonly about: string;
  readonly errors: number;
  readonly warnings: number;
};
export type Recipes = { readonly recipes: readonly RecipeLine[] };
export type RecipeText = { readonly name: string; readonly text: string };
export type CheckedRecipe = { readonly findings: readonly Finding[] };
