import type { Ingredient } from "./ingredient.js";

/** Whose names and measures a reader prefers. */
export type NameStyle = "british" | "us";

/** The name to show: the British trade name, or the US one where it is another and the reader chose US names. */
export function displayName(ingredient: Pick<Ingredient, "name" | "usName">, names: NameStyle = "british"): string {
  return names === "us" ? (ingredient.usName ?? ingredient.name) : ingredient.name;
}
